"""The addresses of the pages of drums and loads, inside one yard."""

from django.urls import URLPattern, URLResolver, path

from disposal.views import clocks

in_one_yard: list[URLPattern | URLResolver] = [
    path("clocks/", clocks.clocks, name="clocks"),
]
