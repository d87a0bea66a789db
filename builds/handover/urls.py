app_name = "handover"
urlpatterns = []
