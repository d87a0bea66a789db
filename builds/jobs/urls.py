from django.urls import path

from . import views

app_name = "jobs"
urlpatterns = [
    path("enquiry/", views.enquiry, name="enquiry"),
    path("jobs/", views.listing, name="list"),
    path("jobs/<job:number>/", views.job, name="job"),
    path("jobs/<job:number>/brief/", views.brief, name="brief"),
    path("jobs/<job:number>/pause/", views.pause, name="pause"),
    path("jobs/<job:number>/end/", views.end, name="end"),
]
