"""The text of the law as we had it."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from django.db import DEFAULT_DB_ALIAS, models
from django.utils import timezone

from hazmat import rulebooks
from hazmat.book.files import put_whole
from hazmat.book.ids import new_id
from hazmat.core.law import Rulebook
from hazmat.edge.one import assessor

LOADED = "rulebooks"
"""The folder of a book in which loaded editions lie beside what ships."""


class Edition(models.Model):
    """One rulebook as it stood on its edition date. Kept for good, so that an old answer can be read again."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    rulebook = models.CharField(max_length=32)
    edition = models.DateField()
    digest = models.CharField(max_length=64, unique=True)
    content = models.TextField()
    kept_at = models.DateTimeField(default=timezone.now, editable=False)

    def __str__(self) -> str:
        return f"{self.rulebook} {self.edition} ({self.digest[:10]})"


def keep_shipped_editions(using: str, model: type[models.Model] = Edition) -> int:
    """Keep each shipped rulebook whose content is not yet in the database `using`; the number newly kept.

    `model`: Edition as it stands in that database, which in the middle of a migration is not the latest. `digest` is
    the SHA-256 of the parsed content, 64 hex digits; `content` is that content as canonical JSON.
    """
    return sum(keep(book, using, model) for book in rulebooks.shelf().values())


def keep(book: Rulebook, using: str = DEFAULT_DB_ALIAS, model: type[models.Model] = Edition) -> bool:
    """Keep one edition; whether it is new to the database."""
    told = {"rulebook": book.name, "edition": book.edition, "content": book.canonical}
    fresh: bool = model._default_manager.using(using).get_or_create(digest=book.digest, defaults=told)[1]
    return fresh


def lay_out(folder: Path) -> list[str]:
    """Lay the newest kept edition of each rulebook that is newer than what stands beside what ships; their names.

    `folder`: that of the book. Every process that is started afterwards judges by them; this one does at once.
    """
    newest: dict[str, Mapping[str, Any]] = {}
    for row in Edition.objects.order_by("edition", "kept_at").values("rulebook", "edition", "content"):
        newest[row["rulebook"]] = row
    rulebooks.look_beside(folder / LOADED)
    standing = {name: book.edition for name, book in rulebooks.shelf().items()}
    laid = [
        name for name, row in newest.items() if name not in standing or row["edition"] > standing[name]
    ]  # fmt: skip
    for name in laid:
        rulebooks.taken(name, newest[name]["content"])
        put_whole(folder / LOADED / f"{name}{rulebooks.KEPT}", newest[name]["content"].encode())
    rulebooks.look_beside(folder / LOADED)
    assessor.cache_clear()
    return sorted(laid)
