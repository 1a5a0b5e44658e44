"""Firms that carry, take in or destroy, and the licences that let them."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import Record


class Partner(Record):
    """A firm. Its telephone, address and person stand in the aside. One that replaces another corrects it."""

    name = models.CharField(max_length=120)
    country = models.CharField(max_length=2, blank=True, default="")
    note = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return self.name


class Licence(Record):
    """A licence of a firm: to `carry` or to `take_in`, from one day to the last day that it names (empty: open)."""

    subject: ClassVar[str | None] = "partner"
    partner = models.ForeignKey(Partner, models.PROTECT, related_name="licences")
    what = models.CharField(max_length=10)
    number = models.CharField(max_length=60)
    issued_by = models.CharField(max_length=120, blank=True, default="")
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    def __str__(self) -> str:
        return self.number
