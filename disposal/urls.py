"""The addresses of the pages of drums and loads, inside one yard."""

from django.urls import URLPattern, URLResolver

in_one_yard: list[URLPattern | URLResolver] = []
