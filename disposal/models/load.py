"""Loads: what goes with which carrier to which facility, who signed, what arrived, what is proven."""

from typing import ClassVar

from django.db import models

from disposal.models.drum import Drum
from disposal.models.partner import Partner
from hazmat.book.record import Record


class Load(Record):
    """A load. `number`: the sequence number of its entry; `official`: that of the paper that the law asks for.

    A load that replaces another changes who carries it, where it goes, or its official number, before anybody signed:
    `of` then names the first one, whose id stays that of the load.
    """

    subject: ClassVar[str | None] = "of"
    of = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="changes")
    number = models.CharField(max_length=20)
    carrier = models.ForeignKey(Partner, models.PROTECT, related_name="carried")
    facility = models.ForeignKey(Partner, models.PROTECT, related_name="taken_in")
    official = models.CharField(max_length=60, blank=True, default="")
    note = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return self.number


class Item(Record):
    """A drum, or the carcass of a unit, on a load; `kg` as loaded. One that replaces another took it off, `off` why."""

    subject: ClassVar[str | None] = "load"
    load = models.ForeignKey(Load, models.PROTECT, related_name="items")
    drum = models.ForeignKey(Drum, models.PROTECT, null=True, blank=True, related_name="items")
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="items")
    kg = models.CharField(max_length=12, blank=True, default="")
    off = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"{self.drum_id or self.unit_id} on {self.load_id}"


class Signature(Record):
    """Somebody signed for the load: `party`, and `inked`: ink on the paper, drawn, or a typed name with a tick.

    The name stands in the aside; `file`: SHA-256 of the picture of the signed sheet, or of what was drawn.
    """

    subject: ClassVar[str | None] = "load"
    load = models.ForeignKey(Load, models.PROTECT, related_name="signatures")
    party = models.CharField(max_length=10)
    inked = models.CharField(max_length=10)
    file = models.CharField(max_length=64, blank=True, default="")

    def __str__(self) -> str:
        return f"{self.party} of {self.load_id}"


class Received(Record):
    """What the facility said of one item: `yes`, `refused` or `missing`; `kg` as weighed there.

    One that replaces another says what became of an item that was missing.
    """

    subject: ClassVar[str | None] = "load"
    load = models.ForeignKey(Load, models.PROTECT, related_name="received")
    item = models.ForeignKey(Item, models.PROTECT, related_name="received")
    drum = models.ForeignKey(Drum, models.PROTECT, null=True, blank=True, related_name="received")
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="received")
    arrival = models.CharField(max_length=10)
    kg = models.CharField(max_length=12, blank=True, default="")
    note = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"{self.arrival}: {self.item_id}"


class Extra(Record):
    """What the facility got with a load that stands on no list of it, in words."""

    subject: ClassVar[str | None] = "load"
    load = models.ForeignKey(Load, models.PROTECT, related_name="extras")
    says = models.TextField()

    def __str__(self) -> str:
        return self.says


class Settled(Record):
    """How it was settled that something arrived otherwise than it was sent: an `item`, or what stands on no list."""

    subject: ClassVar[str | None] = "load"
    load = models.ForeignKey(Load, models.PROTECT, related_name="settled")
    item = models.ForeignKey(Item, models.PROTECT, null=True, blank=True, related_name="settled")
    says = models.TextField()

    def __str__(self) -> str:
        return self.says


class Certificate(Record):
    """A certificate of the facility: its number, the day on it, the day on which it was done, its file."""

    subject: ClassVar[str | None] = "load"
    load = models.ForeignKey(Load, models.PROTECT, related_name="certificates")
    number = models.CharField(max_length=60)
    issued_on = models.DateField()
    done_on = models.DateField(null=True, blank=True)
    file = models.CharField(max_length=64, blank=True, default="")
    file_kind = models.CharField(max_length=10, blank=True, default="")

    def __str__(self) -> str:
        return self.number


class Proof(Record):
    """One line of a certificate, held against one item; `written`: the code as it stands there."""

    subject: ClassVar[str | None] = "load"
    load = models.ForeignKey(Load, models.PROTECT, related_name="proofs")
    certificate = models.ForeignKey(Certificate, models.PROTECT, related_name="proofs")
    item = models.OneToOneField(Item, models.PROTECT, related_name="proof")
    drum = models.ForeignKey(Drum, models.PROTECT, null=True, blank=True, related_name="proofs")
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="proofs")
    written = models.CharField(max_length=40)

    def __str__(self) -> str:
        return self.written


class Closed(Record):
    """The load is closed: everything that went is proven."""

    subject: ClassVar[str | None] = "load"
    load = models.OneToOneField(Load, models.PROTECT, related_name="closed")

    def __str__(self) -> str:
        return f"close of {self.load_id}"
