"""What a rulebook asks of a spill, read strictly: rows without a gap in what they are for."""

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any, get_args

from hazmat.core.bulk import SPILL_COLUMNS
from hazmat.core.clauses import SPILL, SpillKind, SpillRule
from hazmat.rulebooks import strict
from hazmat.rulebooks.cited import Cited
from hazmat.rulebooks.strict import Shelfmark

TELLS: SpillKind = "tell"


def read_spills(book: Cited) -> tuple[SpillRule, ...]:
    """The rows of `[[spill]]`. Raises RulebookError for one that nobody can read, or where two say one thing."""
    given = strict.table(book.at / "table", book.parsed["table"]).get(SPILL, {})
    answers = tuple(given.get("answers", ()))
    columns = {**SPILL_COLUMNS, "spill_rule": answers}
    found = [_rule(book, at, row, columns) for at, row in book.many(SPILL)]
    if fault := spill_fault(found, answers):
        raise (book.at / SPILL).refuse(*fault)
    return tuple(found)


def _rule(book: Cited, at: Shelfmark, given: dict[str, Any], columns: Mapping[str, tuple[str, ...]]) -> SpillRule:
    strict.only(at, given, "name kind when says", "cite time to phone since until only_in")
    kind: SpillKind = strict.one_of(at / "kind", given["kind"], get_args(SpillKind))  # type: ignore[assignment]
    if (kind == TELLS) != ("to" in given):
        raise (at / "to").refuse(
            "whoever is told has a name, and nobody else", "give to where kind is tell, only there"
        )
    since, until = book.period(at, {"since": "unknown", **{k: given[k] for k in ("since", "until") if k in given}})
    return SpillRule(
        name=strict.text(at / "name", given["name"]), kind=kind, says=book.spoken(at / "says", given["says"]),
        when=book.conditions(at / "when", given["when"], columns), cite=book.cited(at, given),
        time=book.hours(at / "time", given["time"]) if "time" in given else None,
        to=strict.text(at / "to", given["to"]) if "to" in given else "",
        phone=book.words_of(at / "phone", given["phone"]) if "phone" in given else None,
        since=since, until=until, only_in=book.only_in(at, given),
    )  # fmt: skip


def spill_fault(rules: Sequence[SpillRule], answers: Sequence[str]) -> tuple[str, str] | None:
    """What is wrong with the rows on spills, and how to mend it; None is the proof.

    No row stands twice for one combination, and each answer of the table on spills has a row.
    """
    twice = [one.name for one, other in combinations(rules, 2) if one.name == other.name and _meet(one, other)]
    if twice:
        return f"two rows say “{twice[0]}” for one combination", "keep their conditions apart, or drop one"
    asked = [dict(rule.when).get("spill_rule", frozenset(answers)) for rule in rules]
    idle = [answer for answer in answers if not any(answer in one for one in asked)]
    return (f"nothing is said where a spill is {idle[0]}", "add a row for it, or widen one") if idle else None


def _meet(one: SpillRule, other: SpillRule) -> bool:
    """Whether some combination, in some place, asks for both."""
    wanted = dict(other.when)
    apart = bool(one.only_in) and bool(other.only_in) and not one.only_in & other.only_in
    return not apart and all(accepted & wanted.get(column, accepted) for column, accepted in one.when)
