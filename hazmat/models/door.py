"""A link that signs one person in, once."""

from typing import ClassVar

from django.db import models

from hazmat.book.ids import new_id


class Door(models.Model):
    """Only the SHA-256 of the link's secret is kept."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    person = models.ForeignKey("hazmat.Person", models.PROTECT, related_name="doors")
    digest = models.CharField(max_length=64, unique=True)
    closes_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    in_backup: ClassVar[bool] = False
    """A link that is written down opens a door to whoever reads it."""

    def __str__(self) -> str:
        return f"door of {self.person_id}"
