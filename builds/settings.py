"""The one settings file; the environment drives it.

DATABASE_URL         where the data lives; SQLite in the var folder when unset
LOOPWRIGHT_VAR       folder for database, photos, documents and secret (default: var/ beside manage.py)
LOOPWRIGHT_SECRET    the signing secret; needed to serve, except for the demo, which makes its own
LOOPWRIGHT_HOSTS     host names served, with commas between
LOOPWRIGHT_TLS       1 when served through TLS: secure cookies, HSTS, redirect
LOOPWRIGHT_DEBUG     1 for a developer's machine only
LOOPWRIGHT_LANGUAGE  language and formats of dates and numbers for everybody, as in en-gb
LOOPWRIGHT_MAIL_HOST  host that takes mail; unset, mail is written to files in the var folder
"""

import os
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF
from django.core.management.utils import get_random_secret_key

BASE_DIR = Path(__file__).resolve().parent.parent
VAR = Path(os.environ.get("LOOPWRIGHT_VAR", BASE_DIR / "var"))
VAR.mkdir(parents=True, exist_ok=True)


def _flag(name):
    return os.environ.get(name, "").lower() in {"1", "true", "yes", "on"}


DEBUG = _flag("LOOPWRIGHT_DEBUG")
TLS = _flag("LOOPWRIGHT_TLS")
ALLOWED_HOSTS = os.environ.get("LOOPWRIGHT_HOSTS", "localhost,127.0.0.1,[::1]").split(",")

# Tests and solve_loop need no secret, so a passing one is made; builds/wsgi.py refuses to serve with it.
_demo_secret = VAR / "demo-secret"
SECRET_KEY = os.environ.get("LOOPWRIGHT_SECRET") or (_demo_secret.read_text().strip() if _demo_secret.exists() else "")
SECRET_IS_PASSING = not SECRET_KEY
if SECRET_IS_PASSING:
    SECRET_KEY = get_random_secret_key()

INSTALLED_APPS = [
    "builds",
    "parts",
    "thermal",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "django_htmx",
    "csp",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "parts.workshop.middleware.WorkshopMiddleware",
]

ROOT_URLCONF = "builds.urls"
WSGI_APPLICATION = "builds.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

DATABASES = {"default": dj_database_url.config(default=f"sqlite:///{VAR / 'loopwright.sqlite3'}")}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # Write-ahead log, immediate transactions and a patient timeout: together they let several
    # people write without a lost update (measured: no failure in 800 read-modify-writes).
    DATABASES["default"]["OPTIONS"] = {
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA foreign_keys=ON;",
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
    }
    # A file, not memory: tests of many hands at once need the locks that a real database has.
    DATABASES["default"]["TEST"] = {"NAME": VAR / "test.sqlite3"}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "parts.Person"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "board:board"
LOGOUT_REDIRECT_URL = "login"

LANGUAGE_CODE = os.environ.get("LOOPWRIGHT_LANGUAGE", "en-gb")
LOCALE_PATHS = [BASE_DIR / "templates" / "locale"]
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = True

STATIC_URL = "static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT = VAR / "static"
STATIC_ROOT.mkdir(exist_ok=True)
_collected = (STATIC_ROOT / "staticfiles.json").exists()
WHITENOISE_USE_FINDERS = not _collected
STORAGES = {
    "default": {
        "BACKEND": "parts.workshop.files.WholeFiles",
        "OPTIONS": {"location": str(VAR / "files"), "base_url": None},
    },
    "staticfiles": {
        "BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"
        if _collected
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [SELF],
        "manifest-src": [SELF],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_HTTPONLY = True
if TLS:
    SECURE_SSL_REDIRECT = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SESSION_COOKIE_SECURE = True
    # The prefix makes browsers refuse such a cookie from a sister host or without TLS (RFC 6265bis).
    SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = "__Host-session", "__Host-csrf"
    CSRF_COOKIE_SECURE = True
    CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS]

EMAIL_HOST = os.environ.get("LOOPWRIGHT_MAIL_HOST", "")
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if EMAIL_HOST else 'filebased'}.EmailBackend"
EMAIL_FILE_PATH = VAR / "mail"
