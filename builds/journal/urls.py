from django.urls import path

from . import views

app_name = "journal"
urlpatterns = [
    path("jobs/<job:number>/journal/", views.journal, name="sheet"),
    path("journal/<int:pk>/", views.edit, name="edit"),
    path("journal/<int:pk>/share/", views.share, name="share"),
    path("journal/<int:pk>/private/", views.take_back, name="take_back"),
    path("journal/<int:pk>/consent/", views.consent, name="consent"),
]
