"""Made drums and loads, as folds would give them."""

from dataclasses import replace
from typing import Any

from disposal.core.drumnow import DrumNow, MoveNow, Source
from disposal.core.loadnow import ItemNow, LoadNow, SignedNow
from disposal.papers.build import Firm, Loaded
from hazmat.core.codes import new_tag
from tests.papers.stages import stage

MOMENT = "2026-11-20T01:00:00.000000Z"
LAWS = {
    "nz": {"rulebook": "nz", "klass": "undetermined"},
    "us": {"rulebook": "us", "klass": "50_to_499"},
}  # fmt: skip
CODE = new_tag(7_000_001)
"""The code of the drum of these tests."""


def source(number: int, country: str = "us", **more: Any) -> Source:
    """A source of a drum, by a number that gives its tag."""
    told = {
        "unit": f"u{number}", "tag": new_tag(number), "care": "50_499", "known": "untested",
        "first_in": MOMENT, "drained_at": MOMENT, "litres": "30", "date": "2026-03-07", **LAWS[country],
    }  # fmt: skip
    return Source(**{**told, **more})


def poured(litres: str = "120", kg: str = "105.6") -> MoveNow:
    return MoveNow(id="m1", way="in", other_kind="unit", other=new_tag(1), litres=litres, kg=kg, tool="pump", at=MOMENT)


def drum(country: str = "us", sources: int = 1, **more: Any) -> DrumNow:
    """A drum with this many untested sources."""
    told = {
        "drum": "d1", "yard": "y", "code": CODE, "kind": "drum", "capacity_l": "205", "made_at": MOMENT,
        "seq": "9", "happened_at": MOMENT, "un_mark": "1A1/X1.8/300/24/NZ/1234", "litres": "120", "kg": "105.6",
        "between_l": ("120", "120"), "between_kg": ("105.6", "105.6"), "care": "50_499", "known": "untested",
        "date": "2026-03-07", "dated_by": "law", "moves": (poured(),),
        "sources": tuple(source(n, country) for n in range(sources)), **LAWS[country],
    }  # fmt: skip
    return DrumNow(**{**told, **more})


def empty() -> DrumNow:
    """A drum into which nothing was poured."""
    return drum(
        sources=0, moves=(), litres="0", kg="0", date="", dated_by="", klass="undetermined", care="ge500", rulebook="",
        between_l=("0", "0"), between_kg=("0", "0"),
    )  # fmt: skip


FIRMS = {
    "carrier": Firm(name="Carry Ltd", licences=("TR-1177, to 30 Jun 2027",), phone="+64 0 000 0011"),
    "facility": Firm(name="Burn & Sons", licences=("DF-2, Council of the Coast", "DF-9, to 31 Dec 2026")),
}  # fmt: skip


def load(items: int = 3, **more: Any) -> LoadNow:
    """A planned load of this many drums and, last, one unit."""
    drums = tuple(
        ItemNow(id=f"i{n}", thing="drum", of=f"d{n}", code=new_tag(7_000_001 + n), kg="182.5") for n in range(items - 1)
    )
    unit = ItemNow(id="iu", thing="unit", of="u1", code="K7M4PK")
    told = {
        "load": "l1", "yard": "y", "number": "41", "carrier": "c", "carrier_name": "Carry Ltd", "facility": "f",
        "facility_name": "Burn & Sons", "planned_at": MOMENT, "seq": "12", "happened_at": MOMENT,
        "items": (*drums, unit),
    }  # fmt: skip
    return LoadNow(**{**told, **more})


def loaded(of: LoadNow, country: str = "us", **more: Any) -> list[Loaded]:
    """Its items, each with how it stands."""
    now = stage("route", country)
    return [
        Loaded(item=one, drum=drum(country, 2, code=one.code, **more)) if one.thing == "drum" else
        Loaded(item=one, unit=now)
        for one in of.aboard
    ]  # fmt: skip


def signed(of: LoadNow, **inked: Any) -> LoadNow:
    """The load with these signatures: `yard="ink"`."""
    made = tuple(
        SignedNow(record=f"s{n}", party=party, inked=kind, at=f"2026-11-24T0{n}:15:00.000000Z")  # type: ignore[arg-type]
        for n, (party, kind) in enumerate(inked.items())
    )
    return replace(of, signatures=made)
