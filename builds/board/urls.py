app_name = "board"
urlpatterns = []
