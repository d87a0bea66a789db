from django.urls import path

from . import views

# The name space is given in builds/urls.py, where the import of parts lists joins it.
urlpatterns = [
    path("", views.listing, name="list"),
    path("add/", views.add, name="add"),
    path("compare/", views.compare, name="compare"),
    path("as/<slug:form>/", views.export, name="export"),
    path("<int:pk>/", views.part, name="part"),
    path("<int:pk>/facts/<slug:name>/", views.fact, name="fact"),
    path("<int:pk>/photo/", views.photo, name="photo"),
    path("<int:pk>/edit/", views.edit, name="edit"),
]
