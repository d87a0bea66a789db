from django.urls import path

from . import care_views, views

app_name = "handover"
urlpatterns = [
    path("jobs/<job:number>/handover/", views.sheet, name="sheet"),
    path("jobs/<job:number>/handover/preview/", views.preview, name="preview"),
    path("jobs/<job:number>/handover/reminders/", care_views.reminders, name="reminders"),
    path("jobs/<job:number>/life/", care_views.life, name="life"),
    path("jobs/<job:number>/service/", care_views.service, name="service"),
    path("owed/<int:pk>/given/", care_views.give, name="give"),
    path("care/", care_views.care, name="care"),
    path("care/<int:pk>/done/", care_views.done, name="care_done"),
    path("care/calendar/", care_views.new_calendar, name="new_calendar"),
    path("care/<str:token>/stop/", care_views.stop, name="stop"),
    path("care/<str:token>/care.ics", care_views.calendar, name="calendar"),
]
