"""An empty workshop's database for a benchmark, in SQLite's memory and without migrations."""

import gc
import os


def empty_books():
    """Set Django up on an empty test database, with what is loaded kept out of collections as the server does."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")
    import django

    django.setup()
    from django.conf import settings
    from django.db import connection
    from django.test.utils import setup_test_environment

    class NoMigrations:
        def __contains__(self, _app):
            return True

        def __getitem__(self, _app):
            return None

    settings.MIGRATION_MODULES = NoMigrations()
    setup_test_environment()
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    import builds.urls  # noqa: F401  (a server has loaded it too)

    gc.collect()
    gc.freeze()
