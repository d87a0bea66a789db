from django.urls import path

from . import trouble_views, views

app_name = "gathering"
urlpatterns = [
    path("jobs/<job:number>/parts/", views.sheet, name="sheet"),
    path("jobs/<job:number>/parts/buy/", views.buy, name="buy"),
    path("jobs/<job:number>/parts/take/<int:part>/", views.take, name="take"),
    path("jobs/<job:number>/parts/brought/<int:line>/", views.brought, name="brought"),
    path("jobs/<job:number>/parts/successor/<int:line>/", trouble_views.successor, name="successor"),
    path("jobs/<job:number>/parts/left/", trouble_views.settle, name="settle"),
    path("shelf/<int:pk>/bad/", trouble_views.bad, name="bad"),
    path("shelf/<int:pk>/give-back/", trouble_views.give_back, name="give_back"),
    path("orders/<order:number>/place/", views.place, name="place"),
    path("orders/<order:number>/pdf/", views.order_pdf, name="order_pdf"),
]
