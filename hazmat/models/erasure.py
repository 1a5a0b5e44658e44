"""Personal data erased by law."""

from django.db import models

from hazmat.book.record import Record


class Erasure(Record):
    """Says that the aside of one record was erased, and why. The entry that named its digest stays as it was."""

    of = models.UUIDField()
    why = models.TextField()

    def __str__(self) -> str:
        return f"aside of {self.of} erased"
