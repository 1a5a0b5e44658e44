"""What the demo has made so far, and one step of it: an act at a moment, by somebody of a yard."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.papers import print_and_seal
from hazmat.actions.results import keep_report
from hazmat.book import files
from hazmat.book.act import Order
from hazmat.core.codes import check_char
from hazmat.core.reported import KeptReport
from hazmat.core.trail import Hand
from hazmat.core.unitnow import UnitNow
from hazmat.demo.scene import COURIER, LABORATORY, YARDS, DemoYard
from hazmat.edge.pictures import read_picture
from hazmat.edge.reports import read_report
from hazmat.models import Bottle, Paper, Person, Unit
from hazmat.papers import CannotPrint
from hazmat.queries.units import UNITS

NAMES = UUID("4f696c77-6172-4764-8000-64656d6f0000")
"""Name space of the ids of the demo, so that each act has the same id in every run. Source: our own."""
BETWEEN = timedelta(hours=2)
"""How long after each hand of a bottle the next one follows. Source: our own choice."""
HANDS: tuple[tuple[Hand, dict[str, str | None]], ...] = (
    ("filled", {"gave": None}), ("handed_on", {"gave": None, "took": COURIER}), ("at_laboratory", {"took": LABORATORY}),
)  # fmt: skip
"""The trail of each bottle of the demo; None stands for the technician."""


def id_of(*words: str) -> UUID:
    """The id of a thing or an act of the demo."""
    return uuid5(NAMES, "/".join(words))


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step. `at`: without a zone it is the time of the yard; `role`: who does it, a role or a name to sign in by.

    `words`: what its act is called in this demo; `run`: what is done.
    """

    at: datetime
    yard: str
    role: str
    words: tuple[str, ...]
    run: "Callable[[Made], None]"

    @property
    def moment(self) -> datetime:
        """When it happens, with its zone."""
        return self.at if self.at.tzinfo else self.at.replace(tzinfo=ZoneInfo(YARDS[self.yard].zone))


@dataclass
class Made:
    """What is made so far. `known`: ids by the names that steps gave; `step`: the one that is being made."""

    people: dict[str, Person]
    known: dict[str, UUID] = field(default_factory=dict)
    step: Step | None = None

    @property
    def now(self) -> Step:
        """The step that is being made. Raises LookupError between two."""
        if self.step is None:
            raise LookupError("no step is being made")
        return self.step

    @property
    def yard(self) -> DemoYard:
        """Its yard."""
        return YARDS[self.now.yard]

    @property
    def place(self) -> str:
        """The country of its yard, with its part where it has one."""
        return self.yard.state or self.yard.country

    @property
    def by(self) -> Person:
        """Who does it."""
        role = self.now.role
        return self.people[role] if role in self.people else self.people[self.yard.who(role).handle]

    @property
    def order(self) -> Order:
        """Its order."""
        return self.more()

    def more(self, *words: str, later: timedelta = timedelta()) -> Order:
        """The order of one more act of this step."""
        return Order(
            yard=id_of(self.yard.key), by=self.by.pk, act=id_of(self.yard.key, *self.now.words, *words),
            happened_at=self.now.moment + later, zone=self.yard.zone,
        )  # fmt: skip

    def keep(self, name: str, thing: UUID) -> None:
        """Call a thing by a name from now on."""
        self.known[name] = thing

    def tag(self, body: str) -> str:
        """The whole tag of a unit of which the first five characters are named."""
        return body + check_char(body)

    def unit(self, body: str) -> UUID:
        """The unit of this tag. Raises Unit.DoesNotExist."""
        return Unit.objects.get(yard=id_of(self.yard.key), tag=self.tag(body)).pk

    def standing(self, unit: UUID) -> UnitNow:
        """A unit as it stands. Raises LookupError."""
        found = UNITS.kept(unit)
        if found is None:
            raise LookupError(f"no unit {unit}")
        return found

    def bottle(self, name: str) -> str:
        """The code of a bottle."""
        return Bottle.objects.get(pk=self.known[name]).code

    def picture(self, jpeg: bytes) -> str:
        """A picture read and kept; its SHA-256."""
        return files.keep(read_picture(jpeg).full)

    def printed(self, paper: UUID) -> None:
        """Print a paper; where this machine cannot, it waits unsealed, as any other paper would."""
        if Paper.objects.filter(pk=paper, seal=None).exists():
            try:
                print_and_seal(id_of(self.yard.key), self.by.pk, self.yard.zone, paper)
            except CannotPrint:
                return


def kept_report(jpeg: bytes) -> KeptReport:
    """A report that came as a picture, looked into and kept."""
    return keep_report(read_report(jpeg), "report.jpg")


def sampled(made: Made, unit: UUID, space: str, lost: str = "", gear: Sequence[UUID] = ()) -> UUID:
    """A bottle labelled, filled and sent to the laboratory; its id. `lost`: how it was lost on the way, if it was.

    `gear`: what its oil went through.
    """
    bottle = label_bottle(made.more("label"), unit=unit, space=space).the("hazmat.bottle")
    hands = [*HANDS[:2], ("lost", {})] if lost else list(HANDS)
    for later, (what, names) in enumerate(hands, 1):
        who = {role: made.by.called if name is None else name for role, name in names.items()}
        hand_bottle(
            made.more(what, later=later * BETWEEN), bottle=bottle, what=what, place=made.place, names=who,
            note=lost if what == "lost" else "", gear=gear if what == "filled" else (),
        )  # fmt: skip
    return bottle
