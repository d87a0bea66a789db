from django.urls import path

from . import link_views

app_name = "links"
urlpatterns = [
    path("jobs/<job:number>/links/", link_views.sheet, name="sheet"),
    path("jobs/<job:number>/links/<int:pk>/revoke/", link_views.revoke, name="revoke"),
]
