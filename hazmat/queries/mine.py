"""What needs *me*: whoever is late in coming back first, then what needs the yard, then training that runs out."""

from collections.abc import Iterator
from datetime import datetime

from hazmat.core.measures import day_words, moment_words
from hazmat.core.outing import OutNow
from hazmat.core.training import current, ends_soon, kinds, state
from hazmat.papers.frame import said
from hazmat.queries.crews import still_there
from hazmat.queries.emergency import outdated_sheet
from hazmat.queries.next import Line, lines
from hazmat.queries.outings import open_outings
from hazmat.queries.training import house_on, trainings
from hazmat.queries.yards import Standing, people
from hazmat.roles import OFFICE

LEAK = "leak"
"""The mark of a line that comes before training and lists."""


def my_lines(here: Standing, now: datetime) -> list[Line]:
    """All that needs whoever asks, soonest first."""
    today = now.astimezone(here.zone).date()
    words = {"yard": here.yard.code}
    found = lines(here.yard.pk, here.yard.code, today)
    leaks = [one for one in found if one.mark == LEAK]
    return [
        *_outings(here, now, words), *leaks, *_crews(here, now), *training_lines(here, now),
        *(one for one in found if one.mark != LEAK), *_sheet(here, words),
    ]  # fmt: skip


def in_office(here: Standing) -> bool:
    """Whether whoever asks is told of everybody: the safety officer and the yard manager."""
    return not OFFICE.isdisjoint(here.roles)


def _outings(here: Standing, now: datetime, words: dict[str, str]) -> Iterator[Line]:
    """Others who are late, for those of the office; whoever is out himself, before that moment too."""
    for one in open_outings(here.yard.pk):
        due = moment_words(one.due_back.astimezone(here.zone))
        if one.person == str(here.person.pk):
            yield _own(one, due, one.late(now), words)
        elif one.late(now) and in_office(here):
            yield Line(said("out_late", who=one.called, due=due).rstrip("."), "out", words, "late")


def _own(one: OutNow, due: str, late: bool, words: dict[str, str]) -> Line:
    says = said("out_mine_late" if late else "out_mine", due=due).rstrip(".")
    return Line(says, "out", words, "late" if late else "out")


def _crews(here: Standing, now: datetime) -> Iterator[Line]:
    """Lists of an earlier day on which somebody never signed out."""
    if "sign_out_crew" not in here.may:
        return
    for tag, count in still_there(here.yard.pk, now.astimezone(here.zone).date()):
        who = "Somebody stands" if count == 1 else f"{count} people stand"
        says = f"{who} on the list of a job of an earlier day: ask where they are, and sign them out"
        yield Line(says, "crew", {"yard": here.yard.code, "tag": tag}, "list")


def training_lines(here: Standing, now: datetime) -> Iterator[Line]:
    """Training that ran out, or runs out soon: of oneself; of everybody, for those of the office."""
    words = {"yard": here.yard.code}
    today = now.astimezone(here.zone).date()
    house = house_on(today)
    names = {one.key: one.name for one in kinds(house.book)}
    shown = [one for one, _ in people(here.yard.pk) if one.pk == here.person.pk or in_office(here)]
    held = trainings(here.yard.pk, [one.pk for one in shown])
    for person in shown:
        for one in sorted(current(held[person.pk]).values(), key=lambda one: (one.until or one.done_on, one.kind)):
            if one.until is None:
                continue
            name, day = names.get(one.kind, one.kind), day_words(one.until)
            who = "Your training" if person.pk == here.person.pk else f"Training of {person.called}"
            link = {**words, "person": str(person.pk)}
            if state(one, today) == "run_out":
                yield Line(f"{who} in {_small(name)} ran out on {day}: have it done again", "training", link, "late")
            elif ends_soon(one, today, house):
                yield Line(f"{who} in {_small(name)} runs out on {day}: book the next one", "training", link, "soon")


def _small(name: str) -> str:
    return name[:1].lower() + name[1:]


def _sheet(here: Standing, words: dict[str, str]) -> Iterator[Line]:
    """The emergency sheet, where it no longer says what holds."""
    if "issue_emergency_sheet" in here.may and (old := outdated_sheet(here.yard.pk, here.facts)):
        yield Line(old.says, "emergency", words, "paper")
