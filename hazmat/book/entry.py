"""The day-book: per yard one entry after the other, each holding the hash of the one before."""

from typing import ClassVar

from django.db import models

from hazmat.book.ids import new_id


class Entry(models.Model):
    """One act as it was written. `body` is exactly the text that was hashed; the other columns only help to find it.

    Yard and person have no index of their own: entries are found by yard and sequence, or by act, and each other index
    makes every act slower.
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    yard = models.ForeignKey("hazmat.Yard", models.PROTECT, related_name="entries", db_index=False)
    seq = models.BigIntegerField()
    act = models.UUIDField(unique=True)
    verb = models.CharField(max_length=40)
    by = models.ForeignKey("hazmat.Person", models.PROTECT, related_name="+", db_index=False)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    body = models.TextField()
    hash = models.CharField(max_length=64)

    class Meta:
        verbose_name_plural = "entries"
        constraints: ClassVar = [models.UniqueConstraint(fields=["yard", "seq"], name="entry_once_per_seq")]

    def __str__(self) -> str:
        return f"{self.verb} ({self.seq})"
