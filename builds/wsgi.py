"""The entry for a WSGI server; refuses to serve with a secret that changes at every start."""

import gc
import os

from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")
application = get_wsgi_application()

from django.conf import settings  # noqa: E402  (settings load with the line above)

if settings.SECRET_IS_PASSING:
    raise ImproperlyConfigured(
        "Set LOOPWRIGHT_SECRET to a long random text, or run `python manage.py demo` which makes one for the demo."
    )

# What is loaded by now stays for good; left in the collector's sight, a forecast of many jobs is stopped for it.
gc.collect()
gc.freeze()
