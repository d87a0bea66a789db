from django.urls import path

from . import link_views, own_data_views

app_name = "links"
urlpatterns = [
    path("jobs/<job:number>/links/", link_views.sheet, name="sheet"),
    path("jobs/<job:number>/links/<int:pk>/revoke/", link_views.revoke, name="revoke"),
    path("clients/<int:pk>/data/", own_data_views.own_data, name="own_data"),
    path("clients/<int:pk>/data/all.zip", own_data_views.own_data_zip, name="own_data_zip"),
]
