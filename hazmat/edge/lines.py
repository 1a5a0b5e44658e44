"""Lines in, answers out: the strict reader, the judge of each line's law, one line at a time."""

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from itertools import islice

from hazmat import rulebooks
from hazmat.core.assess import Assessment, Judge
from hazmat.core.facts import Unit
from hazmat.core.law import LawDay
from hazmat.core.view import View
from hazmat.edge.reader import Reader, Refused
from hazmat.rulebooks.fluids import fluid_names

HANDFUL = 16
"""How many lines pass each stage together at most. Source: our own choice, measured."""
NO_LAW = "nothing stood there; a country code such as NZ may stand there, or name the law with --rulebook"


SELDOM = (100_000, 20, 100)
"""Thresholds of Python's collector of cycles while a register is judged. Source: our own choice, measured."""


@contextmanager
def seldom_collected() -> Iterator[None]:
    """Let Python look for cycles seldom: nothing that a line is made into holds any, and most of it is gone at once."""
    before = gc.get_threshold()
    gc.set_threshold(*SELDOM)
    try:
        yield
    finally:
        gc.set_threshold(*before)


class Assessor:
    """Judges a register line by line. `rulebook` None: each line by the law of the place where the unit was found.

    `on`: the law day. `today`: no date of a line may lie after it.
    """

    def __init__(self, rulebook: str | None, on: date, today: date) -> None:
        self.rulebook, self.on, self.today = rulebook, on, today
        self.reader = Reader(today)
        self._house = LawDay(rulebooks.rulebook(rulebooks.HANDLING), on)
        self._judges: dict[tuple[str | None, str | None], Judge] = {}
        self._at: dict[str | None, Judge] = {}

    def answers(self, stream: Iterable[bytes], first: int = 1) -> Iterator[Assessment | Refused]:
        """An answer or a refusal for each line that is not blank, in order. `first`: the number of the first line.

        Lines are taken a few at a time, the first ones singly: each stage then finds its code and data still at hand.
        """
        lines, handful = self.reader.lines(stream, first), 1
        while taken := list(islice(lines, handful)):
            judged = [self._views(number, one) for number, one in taken]
            yield from [one if isinstance(one, Refused) else one[0].answer(one[1], one[2]) for one in judged]
            handful = min(handful + handful, HANDFUL)

    def _views(self, number: int, unit: Unit | Refused) -> Refused | tuple[Judge, Unit, View]:
        """A unit with its judge and view; a refusal where it was refused, or nothing says which law to use."""
        if isinstance(unit, Refused):
            return unit
        place = unit.found_in
        judge = self._at.get(place)
        if judge is None:
            if place is None and self.rulebook is None:
                return Refused(number, "found_in", NO_LAW)
            wrong = rulebooks.unknown_state(place) if place and self.rulebook is None else None
            if wrong:
                return Refused(number, "found_in", wrong)
            judge = self._at[place] = self.judge(self.rulebook or rulebooks.law_of(place or ""), place)
        return judge, unit, judge.view(unit)

    def judge(self, law: str | None, place: str | None = None) -> Judge:
        """The judge of one law in the state of a place, made once; `law` None: no rulebook is held for the place."""
        territory = rulebooks.rulebook(law).territory(place) if law else None
        if (law, territory) not in self._judges:
            book = rulebooks.law_day(law, territory, self.on)
            self._judges[law, territory] = Judge(book, self._house, fluid_names(), self.on)
        return self._judges[law, territory]
