from django.urls import path

from . import log_views, views

app_name = "proving"
urlpatterns = [
    path("proving/limits/", views.limits, name="limits"),
    path("jobs/<job:number>/proving/", views.sheet, name="sheet"),
    path("jobs/<job:number>/proving/opened/", views.opened, name="opened"),
    path("jobs/<job:number>/proving/loop-opened/", views.loop_again, name="loop_again"),
    path("jobs/<job:number>/proving/record/", views.record, name="record"),
    path("jobs/<job:number>/proving/serials/", views.serial, name="serial"),
    path("jobs/<job:number>/proving/soak/log/", log_views.send, name="log"),
    path("jobs/<job:number>/proving/soak/log/<int:pk>/", log_views.columns, name="log_columns"),
    path("jobs/<job:number>/proving/<slug:kind>/", views.gate, name="gate"),
    path("jobs/<job:number>/proving/<slug:kind>/confirm/", views.confirm, name="confirm"),
    path("jobs/<job:number>/proving/<slug:kind>/waive/", views.waive, name="waive"),
]
