from django.apps import AppConfig


class BuildsConfig(AppConfig):
    name = "builds"

    def ready(self):
        from .proving import undoing  # noqa: F401  listens for work that is undone
