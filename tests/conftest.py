import os

import hypothesis
import pytest

# A loaded machine is no fault of the code: no deadline. CI draws the same examples every time; a developer, new ones.
hypothesis.settings.register_profile("house", deadline=None, derandomize=bool(os.environ.get("CI")))
hypothesis.settings.load_profile("house")

# Playwright keeps an event loop in the test's thread; Django's own calls in it are safe here.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


@pytest.fixture(autouse=True)
def _quick_and_clean(settings, tmp_path):
    """Cheap passwords and a files folder of its own for every test."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    settings.STORAGES = {
        **settings.STORAGES,
        "default": {
            "BACKEND": "parts.workshop.files.WholeFiles",
            "OPTIONS": {"location": str(tmp_path / "files"), "base_url": None},
        },
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }


@pytest.fixture
def owner(db):
    from tests.factories import PersonFactory

    return PersonFactory(username="wright", role="owner")


@pytest.fixture
def helper(db):
    """Somebody with the workshop role: no prices, no client contact."""
    from tests.factories import PersonFactory

    return PersonFactory(username="hand", role="workshop")


@pytest.fixture
def owner_client(client, owner):
    client.force_login(owner)
    return client


@pytest.fixture
def helper_client(helper):
    from django.test import Client

    client = Client()
    client.force_login(helper)
    return client


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    """Debian's chromium, kept from looking outside."""
    return {
        **browser_type_launch_args,
        "executable_path": "/usr/bin/chromium",
        "args": ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"],
    }
