app_name = "orders"
urlpatterns = []
