app_name = "suppliers"
urlpatterns = []
