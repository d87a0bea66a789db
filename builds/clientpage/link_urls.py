"""Addresses under a private link: they need no login, the link is the key."""

from django.urls import path

from . import views

app_name = "clientpage"
urlpatterns = [
    path("<str:token>/", views.page, name="page"),
    path("<str:token>/<quote:quote>/<int:issue>/", views.paper, name="paper"),
    path("<str:token>/<quote:quote>/<int:issue>/accept/", views.accept, name="accept"),
    path("<str:token>/<quote:quote>/<int:issue>/decline/", views.decline, name="decline"),
    path("<str:token>/<bill:bill>/", views.bill, name="bill"),
    path("<str:token>/dates.ics", views.calendar, name="calendar"),
    path("<str:token>/pack/", views.pack, name="pack"),
    path("<str:token>/photos/<int:pk>/", views.photo, name="photo"),
    path("<str:token>/photos/<int:pk>/small/", views.photo, {"small": True}, name="photo_small"),
]
