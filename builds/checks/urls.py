app_name = "checks"
urlpatterns = []
