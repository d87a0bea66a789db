from django.urls import path

from . import views

app_name = "workshop"
urlpatterns = [
    path("", views.settings, name="settings"),
    path("photos/<int:pk>/", views.photo, name="photo"),
    path("photos/<int:pk>/small/", views.photo, {"small": True}, name="photo_small"),
    path("people/", views.people, name="people"),
    path("people/add/", views.edit_person, name="add_person"),
    path("people/<int:pk>/", views.edit_person, name="edit_person"),
    path("tax/", views.tax, name="tax"),
    path("tax/add/", views.edit_tax, name="add_tax"),
    path("tax/<int:pk>/", views.edit_tax, name="edit_tax"),
]
