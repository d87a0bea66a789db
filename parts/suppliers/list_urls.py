from django.urls import path

from . import list_views as views

# Joins the catalogue's name space in builds/urls.py.
urlpatterns = [
    path("", views.send, name="import"),
    path("starter/", views.starter, name="starter"),
    path("<int:pk>/columns/", views.columns, name="import_columns"),
    path("<int:pk>/sheet/", views.sheet, name="import_sheet"),
    path("<int:pk>/", views.preview, name="import_preview"),
    path("<int:pk>/saved/", views.saved, name="import_saved"),
    path("<int:pk>/save/", views.save, name="import_save"),
    path("<int:pk>/undo/", views.undo, name="import_undo"),
    path("<int:pk>/forget/", views.forget, name="import_forget"),
]
