"""The addresses of the pages. No page exists yet: what works today is a command of manage.py."""

from django.urls import URLPattern, URLResolver

urlpatterns: list[URLPattern | URLResolver] = []
