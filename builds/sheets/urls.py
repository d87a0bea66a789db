from django.urls import path

from . import views

app_name = "sheets"
urlpatterns = [path("<int:pk>/", views.download, name="download")]
