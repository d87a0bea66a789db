app_name = "gathering"
urlpatterns = []
