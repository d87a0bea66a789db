from django.urls import path

from . import views

app_name = "clients"
urlpatterns = [
    path("", views.listing, name="list"),
    path("new/", views.edit, name="add"),
    path("<int:pk>/", views.client, name="client"),
    path("<int:pk>/edit/", views.edit, name="edit"),
]
