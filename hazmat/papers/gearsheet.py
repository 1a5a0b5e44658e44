"""A sheet of one to four gear cards of a unit: every word of each, and where it comes from."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hazmat.core.gearcard import PARTS, TASK_WORDS, Card, Line
from hazmat.core.unitnow import UnitNow
from hazmat.core.wear import ASKED
from hazmat.edge.gear import Answers, cards_of, house_of, on_record, together
from hazmat.papers.gearmarks import DRAWN

MOST = 4
"""Cards of 90 x 125 mm on one sheet."""
RULE = "mind_mask"
"""What a mask does not meet stands with the rules on respirators, on the back."""
NOT_SAID = "not said"
KNOWN = {"read": "read", "memory": "from memory", "judgement": "our judgement"}
"""How we know what a document says, in fewer words than pages have room for."""
SAYS = {"yes": "yes", "no": "no", "unknown": "not known"}
AIR = {"above": "above its limit", "not_above": "not above its limit", "unknown": "nobody measured or reckoned it"}


@dataclass(frozen=True, kw_only=True)
class Cards:
    """Which gear cards stand on a sheet, and what was answered about the work."""

    tasks: tuple[str, ...]
    answers: Answers

    @property
    def fit(self) -> bool:
        """Whether they are one to four different tasks."""
        known = all(one in TASK_WORDS for one in self.tasks)
        return known and 0 < len(self.tasks) <= MOST and len(set(self.tasks)) == len(self.tasks)


def cards_in(frozen: Mapping[str, Any]) -> Cards:
    """Which cards a sheet was issued with."""
    return Cards(tasks=tuple(frozen["tasks"]), answers=Answers(said=frozen["said"], air=frozen["air"]))


def sheet_says(unit: UnitNow, yard: Mapping[str, Any], cards: Cards) -> dict[str, Any]:
    """What a sheet of gear cards says of a unit as it stands."""
    made = cards_of(unit, cards.tasks, yard, cards.answers)
    return {
        "tasks": list(cards.tasks), "said": dict(cards.answers.said), "air": cards.answers.air,
        "cards": [card_says(one) for one in made], "asked": _asked(unit, cards.answers),
    }  # fmt: skip


def _asked(unit: UnitNow, answers: Answers) -> list[dict[str, str]]:
    """What was asked about the work, and what was answered or is on record."""
    house, known = house_of(unit), together(on_record(unit), answers.said)
    said = house.book.sentences
    told = [
        {
            "asks": said[f"ask_{one}"].says.format_map(house.words),
            "answer": SAYS.get(known.get(one, ""), NOT_SAID),
        }
        for one in ASKED
    ]
    return [*told, {"asks": said["ask_air"].says, "answer": AIR[answers.air]}]


def card_says(card: Card) -> dict[str, Any]:
    """One card as pages and papers say it: its lines, each with the numbers of its documents, and those documents."""
    sources = {source: str(n) for n, source in enumerate(dict.fromkeys(_sources(card.every())), 1)}
    rule = [one for one in card.parts["mind"] if one.name == RULE]
    return {
        "task": card.task, "title": card.title, "care": card.care, "barred": card.barred,
        "wear": [_line(one, sources) for one in card.wear],
        "parts": [
            {"part": part, "says": says, "lines": [_line(one, sources) for one in card.parts[part] if one.name != RULE]}
            for part, says in PARTS.items() if card.parts[part]
        ],
        "raised": [_line(one, sources) for one in card.raised],
        "air": [_line(one, sources) for one in (*card.air, *rule)],
        "sources": [{"n": n, "cite": cite, "basis": KNOWN[basis]} for (cite, basis), n in sources.items()],
    }  # fmt: skip


def _sources(lines: Iterable[Line]) -> Iterator[tuple[str, str]]:
    """Document and basis of each line, and of why it was chosen."""
    for one in lines:
        yield one.cite, one.basis
        if one.chosen_by:
            yield one.chosen_by, one.chosen_basis


def _line(one: Line, sources: Mapping[tuple[str, str], str]) -> dict[str, str]:
    """A line in words, its picture where there is one, numbers of its documents, and those with how each is known."""
    stands_on = [(one.cite, one.basis), *([(one.chosen_by, one.chosen_basis)] if one.chosen_by else [])]
    numbers = {sources[source]: KNOWN[source[1]] for source in stands_on}
    picture = next((name for name in (one.picture, one.name) if name in DRAWN), "")
    marks = "; ".join(f"{known}: {n}" for n, known in numbers.items())
    return {"says": one.says.rstrip("."), "n": ", ".join(numbers), "marks": marks, "picture": picture}
