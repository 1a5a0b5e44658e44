"""What people of the demo answered on *Look*, read from the fixtures, with the pictures that they took.

A unit is a line of the demo register, or has one of its own, and beside it what a register does not hold: who met it,
where and when, how it leaks, what the seller said, who proved it dead, and what was photographed.
"""

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from hazmat.core.lookin import LookIn
from hazmat.demo.scene import YARDS, DemoYard, code
from hazmat.demo.sketches import draw
from hazmat.edge.pictures import Picture, read_picture

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures" / "demo"
UNSOURCED = frozenset(("count", "found_in", "role", "in_use_before", "use_extended_until", "tests"))
"""Keys of a line about which *Look* does not ask who says so."""
KEYS = frozenset((
    "of", "line", "yard", "arrival", "by", "looked_at", "leak", "leak_at", "plate", "said", "guessed", "note", "claims",
    "aside", "proved", "photographs", "latitude", "longitude",
))  # fmt: skip
CLOSING = time(16, 45)
"""When results that came in are written down. Source: our own choice."""
BETWEEN = timedelta(seconds=40)
"""Time between two pictures. Source: our own choice."""


@dataclass(frozen=True, kw_only=True)
class DemoPicture:
    """A picture of a unit: what it shows, the words that go with it, and when and where it says it was taken."""

    shows: str
    words: str
    taken_at: str
    latitude: str
    longitude: str


@dataclass(frozen=True, kw_only=True)
class DemoUnit:
    """One unit as it was met: by whom (a handle), in which yard, what was answered, what was photographed.

    `results`: the same look with the tests that came in after it, on the day of the last of them, by `results_by`;
    None where none did.
    """

    yard: str
    by: str
    look: LookIn
    results: LookIn | None
    results_by: str
    pictures: tuple[DemoPicture, ...]

    def jpeg(self, picture: DemoPicture) -> bytes:
        """The picture as a phone would hand it over, time and place inside."""
        line = self.look.line
        return draw(
            line["kind"], line.get("mounting"), line.get("state"), line.get("plate_words", ()), picture.shows,
            f"{self.look.tag} {picture.words}", construction=line.get("construction"),
            in_place=self.look.arrival == "found", plated=self.look.seen.get("plate") != "missing",
            leak=self.look.leak, marks=line.get("marks", ()),
            taken_at=picture.taken_at, latitude=picture.latitude, longitude=picture.longitude,
        )  # fmt: skip


def demo_units(folder: Path = FIXTURES) -> tuple[DemoUnit, ...]:
    """Every unit of the demo, in the order in which they were met. Raises ValueError for a key that nobody knows."""
    register = {one.pop("id"): one for one in map(json.loads, (folder / "register.jsonl").read_text().splitlines())}
    told = tomllib.loads((folder / "units.toml").read_text(encoding="utf-8"))["unit"]
    units = [_unit(one, register) for one in told]
    return tuple(sorted(units, key=lambda unit: (unit.look.happened_at, unit.look.tag)))


def _unit(told: Mapping[str, Any], register: Mapping[str, Mapping[str, Any]]) -> DemoUnit:
    strange = set(told) - KEYS
    if strange:
        raise ValueError(f"{told['of']}: nobody knows {', '.join(sorted(strange))}")
    yard = YARDS[told["yard"]]
    line = dict(told["line"] if "line" in told else register[told["of"]])
    moment = datetime.fromisoformat(told["looked_at"]).replace(tzinfo=ZoneInfo(yard.zone))
    look = LookIn(
        arrival=told["arrival"],
        line=line,
        sources=_sources(line, told),
        leak=told["leak"],
        note=told.get("note", ""),
        claims=told.get("claims", {}),
        seen={key: told[key] for key in ("plate", "leak_at") if told.get(key)},
        aside=told.get("aside", {}),
        proved=told.get("proved"),
        happened_at=moment,
        tag=code(told["of"][:5]),
    )
    pictures = [_picture(place, words, moment, told, yard) for place, words in enumerate(told.get("photographs", ()))]
    first, results = _before_and_after(look)
    return DemoUnit(
        yard=yard.key, by=yard.who(told["by"]).handle, look=first, results=results,
        results_by=yard.who("technician").handle, pictures=tuple(pictures),
    )  # fmt: skip


def _before_and_after(look: LookIn) -> tuple[LookIn, LookIn | None]:
    """The look with the tests that were there on its day, and the same with all of them, if more came in later."""
    assert look.happened_at is not None
    tests = look.line.get("tests", ())
    here = [test for test in tests if test.get("on", "") <= look.happened_at.date().isoformat()]
    if len(here) == len(tests):
        return look, None
    last = max(test["on"] for test in tests if "on" in test)
    moment = datetime.combine(datetime.fromisoformat(last), CLOSING, look.happened_at.tzinfo)
    bare = {key: value for key, value in look.line.items() if key != "tests"} | ({"tests": here} if here else {})
    sources = {key: source for key, source in look.sources.items() if key in bare}
    return replace(look, line=bare, sources=sources), replace(look, proved=None, happened_at=moment)


def _sources(line: Mapping[str, Any], told: Mapping[str, Any]) -> dict[str, str]:
    """Who says so, fact by fact: seen, unless it was said or guessed."""
    found = {key: "seen" for key in line if key not in UNSOURCED}
    for source in ("said", "guessed"):
        for key in told.get(source, ()):
            if key not in found:
                raise ValueError(f"{told['of']}: {key} is {source}, and does not stand in its line")
            found[key] = source
    return found


def _picture(place: int, said: str, moment: datetime, told: Mapping[str, Any], yard: DemoYard) -> DemoPicture:
    """`said`: what it shows, or that and a colon and words."""
    shows, _, words = said.partition(": ")
    taken = moment - timedelta(minutes=4) + place * BETWEEN
    return DemoPicture(
        shows=shows,
        words=words,
        taken_at=taken.isoformat(),
        latitude=told.get("latitude", yard.latitude),
        longitude=told.get("longitude", yard.longitude),
    )


def drawn_pictures(unit: DemoUnit) -> list[tuple[Picture, str, str]]:
    """The pictures of a unit, drawn and read as any other picture; what each shows, and its words."""
    return [(read_picture(unit.jpeg(one)), one.shows, one.words) for one in unit.pictures]
