"""Papers of units that no longer say what holds: on the page of the unit, and on Next."""

from collections.abc import Mapping
from datetime import date
from functools import reduce
from operator import or_
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, Q

from hazmat.book.canonical import parsed
from hazmat.core.codes import spaced
from hazmat.core.telling import kind_word
from hazmat.core.unitnow import UnitNow
from hazmat.models import Assessment, Condition, Isolation, Paper, Second, UnitStanding, Verdict
from hazmat.papers.build import TITLES, unit_says
from hazmat.papers.holds import Outdated, holds
from hazmat.queries.next import SIZE, Line
from hazmat.queries.units import LEFT, unpacked
from hazmat.queries.yards import particulars, yard_facts

HANGS = ("site_sheet", "notice", "unit_tag", "gear_card", "sampling_plan")
"""Papers that hang on a unit or go with it, as long as it is here."""
MOVES: tuple[Any, ...] = (Assessment, Condition, Isolation, Verdict, Second)
"""Records after which a paper may say what no longer holds; without one that is younger, none is looked into."""


def outdated(unit: UnitNow, yard: Mapping[str, Any]) -> list[Outdated]:
    """The papers that hang on a unit, or go with it, and no longer say what holds; none of what left."""
    hanging = [one for one in unit.papers if one.kind in HANGS] if unit.stands not in LEFT else []
    last = {(one.kind, one.tasks): one for one in hanging}.values()
    kept = dict(Paper.objects.filter(pk__in=[one.id for one in last]).values_list("pk", "payload"))
    frozen = {one.id: parsed(kept[UUID(one.id)]) for one in last}
    return [
        Outdated(id=one.id, kind=one.kind, title=TITLES[one.kind], number=one.number)
        for one in last
        if not holds(frozen[one.id], unit_says(one.kind, unit, yard, frozen[one.id]))
    ]


def next_lines(yard: UUID, code: str, today: date) -> list[Line]:
    """What *Next* says of papers of units: each that is to be printed anew."""
    younger = [
        Q(Exists(kind.objects.filter(unit=OuterRef("unit"), entry__seq__gt=OuterRef("entry__seq")))) for kind in MOVES
    ]
    last = Paper.objects.filter(yard=yard, kind__in=HANGS, replaced_by=None).filter(reduce(or_, younger))
    bodies = UnitStanding.objects.filter(unit__in=last.values("unit")).order_by("logged").values_list("body", flat=True)
    facts, found = yard_facts(particulars(yard)), list[Line]()
    for body in bodies.iterator():
        unit = unpacked(body)
        name = f"{kind_word(unit.line.get('kind')).capitalize()} {spaced(unit.tag)}"
        words = {"yard": code, "tag": unit.tag}
        found += [Line(f"{name}: {one.says}", "unit", words, "paper") for one in outdated(unit, facts)]
        if len(found) >= SIZE:
            break
    return found[:SIZE]
