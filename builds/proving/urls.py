app_name = "proving"
urlpatterns = []
