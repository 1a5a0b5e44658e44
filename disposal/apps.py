"""How Django meets this app."""

from django.apps import AppConfig


class DisposalConfig(AppConfig):
    name = "disposal"
    verbose_name = "Disposal"
