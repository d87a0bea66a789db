from django.urls import path

from . import views

app_name = "gathering"
urlpatterns = [
    path("jobs/<job:number>/parts/", views.sheet, name="sheet"),
    path("jobs/<job:number>/parts/buy/", views.buy, name="buy"),
    path("jobs/<job:number>/parts/take/<int:part>/", views.take, name="take"),
    path("jobs/<job:number>/parts/brought/<int:line>/", views.brought, name="brought"),
    path("orders/<order:number>/place/", views.place, name="place"),
    path("orders/<order:number>/pdf/", views.order_pdf, name="order_pdf"),
]
