"""Law mutation: change one outcome, force, figure or comparison of a rulebook, and some worked case must notice.

What no case notices is listed here; the list may only shrink.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from hazmat import rulebooks
from hazmat.core.law import UNDETERMINED, Rulebook
from hazmat.edge.cases import Case, answer, cases, misses

pytestmark = pytest.mark.deep
TODAY = date(2026, 11, 25)
JUDGED = ("presumption", "establishing", "capacitor_size", "band")
TOLD = ("may_take",)
"""Tables whose answer is the sentence of the row."""
FORCES = ("must", "may", "care")
ELSEWHERE = (
    "house_storage", "clock_soon", "lightest_oil", "heaviest_oil", "training_soon", "out_longest", "isolate_liquid",
    "isolate_tank_fire", "rinse_eyes", "notify_us_death", "notify_us_harm", "notify_gb_report", "notify_gb_off_work",
    "notify_ca_federal", "hot_oil", "air_limit", "gauntlet_wet", "layered_wet",
)  # fmt: skip
"""Figures that no answer of `assess` uses: tests of clocks and of pours hold them, `tests/disposal`; those of people
and of gear, `tests/core`."""


def mutants(book: Rulebook) -> Iterator[tuple[str, Rulebook]]:
    """Every rulebook that differs from the given one in one place, with a name for the place."""
    for name in JUDGED:
        for place, row in enumerate(book.tables[name].rows if name in book.tables else ()):
            table = book.tables[name]
            changes = [{"then": other} for other in _other_outcomes(name, table.answers) if other != row.then]
            if name == "presumption" and row.force:
                changes += [{"force": other} for other in FORCES if other != row.force]
            for change in changes:
                rows = (*table.rows[:place], replace(row, **change), *table.rows[place + 1 :])
                tables = {**book.tables, name: replace(table, rows=rows)}
                yield f"{name}: {row.name} {'/'.join(change.values())}", replace(book, tables=tables)
    for name, figure in book.figures.items():
        for place, version in enumerate(figure.versions if name not in ELSEWHERE else ()):
            if figure.unit == "year" and name == "storage_limit":
                shifted = [version.value + 1]
            elif isinstance(version.value, Decimal):
                shifted = [version.value * Decimal("1.01"), version.value * Decimal("0.99")]
            elif isinstance(version.value, date):
                shifted = [version.value + timedelta(days=1), version.value - timedelta(days=1)]
            else:
                continue
            for value in shifted:
                versions = (*figure.versions[:place], replace(version, value=value), *figure.versions[place + 1 :])
                yield (
                    f"figure {name} {value}",
                    replace(book, figures={**book.figures, name: replace(figure, versions=versions)}),
                )
    for place, line in enumerate(book.lines):
        other = ">" if line.compare == ">=" else ">="
        lines = (*book.lines[:place], replace(line, compare=other), *book.lines[place + 1 :])
        yield f"line {line.figure} {other}", replace(book, lines=lines)

    yield from told_otherwise(book)


def told_otherwise(book: Rulebook) -> Iterator[tuple[str, Rulebook]]:
    """A sentence of who may take it in other words; an act that is lost, or asked for where it was not."""
    for name in TOLD:
        for place, row in enumerate(book.tables[name].rows if name in book.tables else ()):
            rows = list(book.tables[name].rows)
            rows[place] = replace(row, says="Other words")
            tables = {**book.tables, name: replace(book.tables[name], rows=tuple(rows))}
            yield f"{name}: {row.name} in other words", replace(book, tables=tables)
    for place, act in enumerate(book.acts):
        before, behind = book.acts[:place], book.acts[place + 1 :]
        yield f"act {place} {act.act} lost", replace(book, acts=(*before, *behind))
        for column, _ in act.when:
            when = tuple(one for one in act.when if one[0] != column)
            looser = replace(act, when=when)
            yield f"act {place} {act.act} whatever {column}", replace(book, acts=(*before, looser, *behind))


def _other_outcomes(table: str, answers: tuple[str, ...]) -> tuple[str, ...]:
    """Undetermined is no outcome of its own where only *establishes* counts."""
    return answers if table == "establishing" else (*answers, UNDETERMINED)


def noticed(case: Case) -> bool:
    try:
        return any(misses(case, answer(case, TODAY)))
    except (LookupError, ValueError, KeyError):
        return True


def survivors(law: str, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The mutants that no case notices."""
    every, real = cases(), rulebooks.rulebook
    found = []
    for name, mutant in mutants(real(law)):
        monkeypatch.setattr(rulebooks, "rulebook", lambda asked, mutant=mutant: mutant if asked == law else real(asked))
        if not any(noticed(case) for case in every):
            found.append(name)
    return found


UNNOTICED: dict[str, set[str]] = {"us": set(), "nz": set(), "handling": {"figure retrofill_rest 89.10"}}
"""Changes that no answer can show: days are whole, so 89.1 and 90 part the same days."""


@pytest.mark.parametrize("law", sorted(UNNOTICED))
def test_every_change_of_the_law_is_noticed(law: str, monkeypatch: pytest.MonkeyPatch) -> None:
    found = set(survivors(law, monkeypatch))
    assert found - UNNOTICED[law] == set(), "a worked case must notice each of these"
    assert UNNOTICED[law] - found == set(), "these are noticed now: take them off the list, which only shrinks"
