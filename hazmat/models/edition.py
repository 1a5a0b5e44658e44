"""The text of the law as we had it."""

from django.db import models
from django.utils import timezone

from hazmat import rulebooks
from hazmat.book.ids import new_id


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
    editions = model._default_manager.using(using)
    fresh = 0
    for book in rulebooks.shelf().values():
        told = {"rulebook": book.name, "edition": book.edition, "content": book.canonical}
        fresh += editions.get_or_create(digest=book.digest, defaults=told)[1]
    return fresh
