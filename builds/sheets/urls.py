from django.urls import path

from . import label_views, views

app_name = "sheets"
urlpatterns = [
    path("<int:pk>/", views.download, name="download"),
    path("look/", views.look, name="look"),
    path("look/preview/", views.look_preview, name="look_preview"),
    path("look/sample/", views.sample, name="sample"),
    path("labels/", label_views.labels, name="labels"),
]
