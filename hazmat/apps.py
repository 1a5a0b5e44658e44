"""How Django meets this app: its start-up checks, and what is kept after each migration."""

from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.apps import apps as installed
from django.apps.registry import Apps
from django.db import DEFAULT_DB_ALIAS
from django.db.migrations import Migration
from django.db.models.signals import post_migrate


class HazmatConfig(AppConfig):
    name = "hazmat"
    verbose_name = "Oilward"

    def ready(self) -> None:
        from django.conf import settings

        from hazmat import rulebooks
        from hazmat.conf import checks  # noqa: F401 - importing registers them
        from hazmat.models.edition import LOADED

        rulebooks.look_beside(settings.OILWARD_BOOK / LOADED)

        post_migrate.connect(keep_editions, sender=self)
        post_migrate.connect(put_guards_on)
        post_migrate.connect(make_standings_again, sender=self)


def keep_editions(using: str, apps: Apps = installed, **kwargs: Any) -> None:
    """Keep every shipped rulebook edition, unless the migration has just taken the table away."""
    from hazmat.models.edition import keep_shipped_editions

    if "edition" in apps.all_models["hazmat"]:
        keep_shipped_editions(using, apps.get_model("hazmat", "Edition"))


def put_guards_on(using: str, **kwargs: Any) -> None:
    """Guard every record table and the entries, after each app's migrations: a rebuilt table has lost its guards."""
    from django.db import connections

    from hazmat.book import guards

    guards.install(connections[using])


def make_standings_again(
    using: str, plan: Sequence[tuple[Migration, bool]] = (), apps: Apps = installed, **kwargs: Any
) -> None:
    """Fold every standing afresh where a migration changed what is folded: none is kept in yesterday's shape.

    Any app of ours counts, and a fold is left out whose things have no table yet.
    """
    from hazmat.book.record import record_classes
    from hazmat.book.standing import folds
    from hazmat.models import Yard

    ours = {kind._meta.app_label for kind in record_classes()}
    if using != DEFAULT_DB_ALIAS or not any(step.app_label in ours and not back for step, back in plan):
        return
    there = {model._meta.label_lower for model in apps.get_models()}
    for yard in Yard.objects.values_list("pk", flat=True):
        for fold in folds():
            if fold.name in there:
                fold.rebuild(yard)
