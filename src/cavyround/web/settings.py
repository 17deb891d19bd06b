"""Django's settings. The data folder is told by the command line through the environment."""

import os
from pathlib import Path

import dj_database_url

PACKAGE = Path(__file__).resolve().parent.parent
DATA_FOLDER = Path(os.environ.get("CAVYROUND_DATA", "data")).resolve()
PHOTO_FOLDER = DATA_FOLDER / "photos"
OVERRIDE_FILE = os.environ.get("CAVYROUND_OVERRIDE", "")
DEMO = os.environ.get("CAVYROUND_DEMO") == "1" or (DATA_FOLDER / "demo.txt").exists()


def _secret_key() -> str:
    key_file = DATA_FOLDER / "secret-key"
    if key_file.exists():
        return key_file.read_text().strip()
    # Commands that serve pages write the key file first; others need no secret.
    return "only-for-commands-that-serve-nothing"


SECRET_KEY = _secret_key()
DEBUG = False
# A rescue reaches its own machine by whatever name its router gives it.
ALLOWED_HOSTS = os.environ.get("CAVYROUND_HOSTS", "*").split(",")
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "cavyround.record",
    "cavyround.web",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "cavyround.web.gate.GateMiddleware",
]
ROOT_URLCONF = "cavyround.web.urls"
WSGI_APPLICATION = "cavyround.web.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "cavyround.web.context.page",
            ],
        },
    }
]
DATABASES = {
    "default": dj_database_url.config(
        default=f"sqlite:///{DATA_FOLDER / 'cavyround.sqlite3'}", conn_max_age=600
    )
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = {
        # IMMEDIATE: a writer waits for its turn at once instead of failing at commit.
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        # FULL: what the server has acknowledged survives a power cut.
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; "
        "PRAGMA foreign_keys=ON; PRAGMA cache_size=-20000;",
    }
AUTH_USER_MODEL = "record.Person"
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "today"
LANGUAGE_CODE = "en-gb"
USE_I18N = True
USE_TZ = True
TIME_ZONE = os.environ.get("CAVYROUND_ZONE", "Europe/London")
STATIC_URL = "/static/"
STATIC_ROOT = None  # the files are served from the package itself
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
# Photos are refused above this with words of our own; see record.photos.
DATA_UPLOAD_MAX_MEMORY_SIZE = 8 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
SESSION_COOKIE_AGE = 60 * 60 * 24 * 30
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "cavyround.web.gate.csrf_failed"
SILENCED_SYSTEM_CHECKS: list[str] = []
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
