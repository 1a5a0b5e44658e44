"""Where the book is kept: a yard, or a van that is one; and who is what in it."""

from typing import Any

from django.db import models
from django.utils import timezone

from hazmat.book.ids import new_id
from hazmat.book.record import Record
from hazmat.core.chain import NOTHING_BEFORE


class Yard(models.Model):
    """The head of one day-book: the last sequence number and hash. Its name and place are `Particulars`."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    code = models.CharField(max_length=6, unique=True)
    seq = models.BigIntegerField(default=0)
    head = models.CharField(max_length=64, default=NOTHING_BEFORE.hex())
    opened_at = models.DateTimeField(default=timezone.now, editable=False)

    def __str__(self) -> str:
        return self.code


class Particulars(Record):
    """What a yard is called and where it lies: ISO 3166 country and subdivision, IANA zone.

    `stores`: it also keeps drums and sends loads out; `two`: a verdict needs a second person. Empty means no.
    `guard`: how far below a line a result must lie for a release; empty: by its uncertainty, `wide`: by more than that.
    `air`: whose rule on respirators it goes by; empty: the stricter one, `mask`: the other one.
    """

    name = models.CharField(max_length=120)
    country = models.CharField(max_length=2)
    state = models.CharField(max_length=6, blank=True, default="")
    zone = models.CharField(max_length=64)
    keeps = models.CharField(max_length=200, blank=True, default="")
    stores = models.BooleanField(null=True, blank=True)
    two = models.BooleanField(null=True, blank=True)
    guard = models.CharField(max_length=6, blank=True, default="")
    air = models.CharField(max_length=6, blank=True, default="")

    class Meta:
        verbose_name_plural = "particulars"

    def __str__(self) -> str:
        return self.name

    @property
    def place(self) -> str:
        """`US-OR` where the subdivision is known, else the country: `NZ`."""
        return self.state or self.country

    def facts(self, code: str, phone: str = "") -> dict[str, Any]:
        """The yard as pages and papers name it."""
        return {
            "name": self.name, "code": code, "country": self.country.lower(), "state": self.state, "zone": self.zone,
            "phone": phone, "keeps": self.keeps, "stores": bool(self.stores), "two": bool(self.two),
            "guard": self.guard, "air": self.air,
        }  # fmt: skip


class Member(Record):
    """One person in one role of a yard. A member leaves by a record that replaces this one and has ended."""

    person = models.ForeignKey("hazmat.Person", models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=20)
    ended = models.BooleanField(default=False)

    def __str__(self) -> str:
        return f"{self.person_id} as {self.role}"
