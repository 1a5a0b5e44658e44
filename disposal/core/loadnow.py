"""A load as it stands now, or as it stood after a given entry: the frozen value that pages and papers are drawn from.

Days and instants are ISO 8601 text, masses decimal text in kg, identifiers text: all of it is plain data.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from hazmat.core.codes import spaced

Thing = Literal["drum", "unit"]
Party = Literal["yard", "carrier", "facility"]
Inked = Literal["ink", "drawn", "typed"]
LoadState = Literal["planned", "signed", "handed_over", "received", "proven", "closed"]
Arrival = Literal["yes", "refused", "missing"]
SIGNING: tuple[Party, ...] = ("yard", "carrier", "facility")
"""Whoever gives signs before whoever takes. Source: 40 CFR 761.210 and 761.211; elsewhere common practice."""

STATES: Mapping[LoadState, str] = {
    "planned": "planned", "signed": "signed by the yard", "handed_over": "with the carrier",
    "received": "taken in, not all of it proven", "proven": "all of it accounted for", "closed": "closed",
}  # fmt: skip
"""How a load stands, in words."""
INKS: Mapping[Inked, str] = {
    "ink": "ink on the printed sheet", "drawn": "drawn on a screen", "typed": "a typed name with a tick",
}  # fmt: skip
"""How somebody signed, in words."""
PARTIES: Mapping[Party, str] = {"yard": "the yard", "carrier": "the carrier", "facility": "the facility"}
"""Who signs, in words."""
ARRIVED: Mapping[Arrival, str] = {"yes": "taken in", "refused": "refused, back here", "missing": "missing"}
"""What the facility said of an item, in words."""


@dataclass(frozen=True, kw_only=True)
class ItemNow:
    """One item: a drum or the carcass of a unit. `code`: of the drum, or tag; `kg`: as loaded, empty if not weighed.

    `off`: why it was taken off, empty while it is on; `arrival`: what the facility said, empty before; `kg_received`:
    as weighed there; `certificate`: the number of the one that proves it; `proven_on`: the day that it names;
    `settled`: how it was settled that it arrived otherwise than it was sent;
    `count`: how many like units a lot is, as its unit says now. A fold leaves that at one; whoever reads puts it in.
    """

    id: str
    thing: Thing
    of: str
    code: str
    kg: str = ""
    off: str = ""
    arrival: Arrival | Literal[""] = ""
    kg_received: str = ""
    note: str = ""
    certificate: str = ""
    proven_on: str = ""
    settled: str = ""
    count: int = 1

    @property
    def lot(self) -> str:
        """How many a lot is, in words; empty where it is one thing."""
        return f"{self.count} alike" if self.count > 1 else ""

    @property
    def called(self) -> str:
        """Its code, and how many it is where it is a lot: `K7M 4PX (12 alike)`."""
        return f"{spaced(self.code)} ({self.lot})" if self.lot else spaced(self.code)

    @property
    def aboard(self) -> bool:
        """Whether it travels, or travelled, with this load."""
        return not self.off

    @property
    def owes(self) -> bool:
        """Whether a proof of it is still owed: it went, did not come back, and no certificate names it."""
        return self.aboard and self.arrival != "refused" and not self.certificate


@dataclass(frozen=True, kw_only=True)
class SignedNow:
    """A signature: whose, of which kind, when; the name stands beside the row `record`; `file`: its picture."""

    record: str
    party: Party
    inked: Inked
    at: str
    file: str = ""


@dataclass(frozen=True, kw_only=True)
class CertificateNow:
    """A certificate: its number, its days, the moment `at` which it came, its file, and which items it proves."""

    id: str
    number: str
    issued_on: str
    at: str = ""
    done_on: str = ""
    file: str = ""
    file_kind: str = ""
    items: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class LoadNow:
    """A load with its items, signatures, receipt and proof.

    `carrier`, `facility`: ids of partners, `carrier_name`, `facility_name` what they were called; `official`: the
    number of the official paper, empty where the law has none; `seq`: the last entry that is folded in; `extra`: what
    the facility got that stands on no list, `extra_settled` how that was settled.
    """

    load: str
    yard: str
    number: str
    carrier: str
    carrier_name: str
    facility: str
    facility_name: str
    planned_at: str
    seq: str
    happened_at: str
    official: str = ""
    note: str = ""
    items: tuple[ItemNow, ...] = ()
    signatures: tuple[SignedNow, ...] = ()
    received_at: str = ""
    extra: str = ""
    extra_settled: str = ""
    certificates: tuple[CertificateNow, ...] = ()
    closed_at: str = ""

    @property
    def aboard(self) -> tuple[ItemNow, ...]:
        """The items that travel with it, or travelled."""
        return tuple(one for one in self.items if one.aboard)

    @property
    def many(self) -> int:
        """How many things travel with it, each of a lot counted."""
        return sum(one.count for one in self.aboard)

    @property
    def came_off(self) -> tuple[ItemNow, ...]:
        """The items that were taken off before it left."""
        return tuple(one for one in self.items if not one.aboard)

    @property
    def lost(self) -> tuple[ItemNow, ...]:
        """The items that the facility never got, and of which nobody knows anything since."""
        return tuple(one for one in self.aboard if one.arrival == "missing" and one.owes)

    @property
    def signed(self) -> frozenset[Party]:
        """Who signed."""
        return frozenset(one.party for one in self.signatures)

    @property
    def handed_over_at(self) -> str:
        """When the carrier took it, empty before."""
        return next((one.at for one in self.signatures if one.party == "carrier"), "")

    @property
    def state(self) -> LoadState:
        """How far it is."""
        if self.closed_at:
            return "closed"
        if self.received_at:
            return "received" if any(one.owes for one in self.items) else "proven"
        if "carrier" in self.signed:
            return "handed_over"
        return "signed" if "yard" in self.signed else "planned"
