from django.urls import path

from . import views

app_name = "handover"
urlpatterns = [
    path("jobs/<job:number>/handover/", views.sheet, name="sheet"),
    path("jobs/<job:number>/handover/preview/", views.preview, name="preview"),
]
