app_name = "specs"
urlpatterns = []
