"""The server of the bench: the real pages, and one signed-in page that says nothing."""

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "hazmat.conf.settings")

from django.conf import settings
from django.core.wsgi import get_wsgi_application

settings.ROOT_URLCONF = "hazmat.bench.urls"
application = get_wsgi_application()
