"""The entry point for a web server: `gunicorn --no-control-socket hazmat.conf.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "hazmat.conf.settings")
application = get_wsgi_application()
