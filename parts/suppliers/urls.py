from django.urls import path

from . import views

app_name = "suppliers"
urlpatterns = [
    path("", views.listing, name="list"),
    path("add/", views.edit, name="add"),
    path("<int:pk>/", views.supplier, name="supplier"),
    path("<int:pk>/edit/", views.edit, name="edit"),
    path("prices/<int:pk>/", views.edit_price, name="edit_price"),
    path("prices/for/<int:part_pk>/", views.add_price, name="add_price"),
]
