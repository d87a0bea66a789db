from django.urls import path

from . import views

app_name = "shelf"
urlpatterns = [
    path("", views.listing, name="list"),
    path("put-in/", views.find_part, name="find_part"),
    path("put-in/<int:pk>/", views.put_in, name="put_in"),
    path("at/<str:kind>/<int:pk>/", views.at, name="at"),
    path("serials/<int:pk>/", views.serial, name="serial"),
    path("<int:pk>/", views.row, name="row"),
    path("<int:pk>/move/", views.move, name="move"),
    path("<int:pk>/count/", views.count, name="count"),
]
