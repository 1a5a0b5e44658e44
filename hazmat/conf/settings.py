"""Django's settings. Every knob is an environment variable, and KNOBS is the whole list."""

import os
from pathlib import Path

import environ
from django.utils.functional import SimpleLazyObject

from hazmat.conf import home

CHECKOUT = Path(__file__).resolve().parents[2]

KNOBS = {
    "OILWARD_HOME": (str, str(CHECKOUT / ".data")),  # the directory that holds everything written at run time
    "OILWARD_BOOK": (str, "book"),  # the book in use: a folder in OILWARD_HOME
    "DATABASE_URL": (str, ""),  # postgres://… or sqlite:////…; empty: a SQLite file in the book's folder
    "OILWARD_SECRET_KEY": (str, ""),  # the signing key; empty: OILWARD_HOME/secret-key, made at first use
    "OILWARD_DEBUG": (str, "no"),  # show errors in full in the browser; never on a machine that others reach
    "OILWARD_HOSTS": (list, ["localhost", "127.0.0.1"]),  # the host names served, with commas between
}
knob = environ.Env(**KNOBS)

OILWARD_HOME = home.home_folder(knob("OILWARD_HOME") or str(CHECKOUT / ".data"))
OILWARD_BOOK = home.book_folder(OILWARD_HOME, knob("OILWARD_BOOK"))
DATABASES = {"default": home.database(knob("DATABASE_URL"), OILWARD_BOOK)}
SECRET_KEY = SimpleLazyObject(
    lambda: os.environ.get("OILWARD_SECRET_KEY") or home.secret_key(OILWARD_HOME / "secret-key")
)
DEBUG = home.yes_or_no("OILWARD_DEBUG", knob("OILWARD_DEBUG"))
ALLOWED_HOSTS = [host.strip() for host in knob("OILWARD_HOSTS") if host.strip()]

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "crispy_forms",
    "hazmat",
    "disposal",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [CHECKOUT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    }
]
AUTH_USER_MODEL = "hazmat.Person"
LOGIN_URL = "sign_in"
SESSION_COOKIE_AGE = 180 * 24 * 60 * 60  # half a year: nobody is thrown out while he stands in the rain
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "hazmat.views.refusals.csrf_failure"
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'", "data:"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024  # words of one form, pictures apart
DATA_UPLOAD_MAX_NUMBER_FILES = 40
CRISPY_ALLOWED_TEMPLATE_PACKS = CRISPY_TEMPLATE_PACK = "crispy"  # ours: templates/crispy

LOGGING = {  # what breaks is told to whoever keeps this computer, on the standard error of the server
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"standard_error": {"class": "logging.StreamHandler"}},
    "loggers": {"django.request": {"handlers": ["standard_error"], "level": "ERROR"}},
}

STANDINGS = [  # what is current, in the order in which it is folded
    "hazmat.queries.units.UNITS",
    "disposal.queries.drums.DRUMS",
    "disposal.queries.loads.LOADS",
]
DEMO = [  # what happened besides the looks, as dotted text
    "hazmat.demo.people.steps",
    "disposal.demo.thread.steps",
    "hazmat.demo.spills.steps",
]
NEXT = [  # what stands on the page Next besides leaks, signatures and holds, in this order
    "hazmat.queries.spills.next_lines",
    "disposal.queries.due.next_lines",
    "hazmat.queries.papers.next_lines",
    "disposal.queries.papers.next_lines",
    "disposal.queries.open_loads.next_lines",
]
LEAKS = ["disposal.queries.leaking.leaked"]  # what can leak besides units, as dotted text
ROOT_URLCONF = "hazmat.conf.urls"
WSGI_APPLICATION = "hazmat.conf.wsgi.application"
STATIC_URL = "static/"
WHITENOISE_USE_FINDERS = True  # served straight from the apps: no collecting step to forget

USE_TZ = True
TIME_ZONE = home.machine_zone()
LANGUAGE_CODE = "en"
