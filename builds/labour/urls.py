app_name = "labour"
urlpatterns = []
