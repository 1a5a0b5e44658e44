"""Between which years a unit was built, by what its plate names and how its tank looks: bounds, never a proof.

Each standard is data: a figure `words_<key>` with the names it goes by, and figures `edition_<key>_<year>`, of which
the earliest is its first year. `#` in a name stands for any digit; years behind such a name are not read.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

DASHES = str.maketrans(dict.fromkeys("‐‑‒–—−", "-"))
"""Characters that are read as a dash. Source: our own choice."""
UNITS = (
    "KGS?", "LBS?", "L", "LTRS?", "LITRES?", "LITERS?", "GALS?", "GALLONS?", "KVA", "MVA", "VA", "KV", "V", "VOLTS?",
    "A", "AMPS?", "KW", "HZ", "MM", "CM", "%", "°C", "TONS?", "TONNES?",
)  # fmt: skip
"""Units: a number before one of them is an amount and neither a standard nor a year. Source: our own choice."""
NO_AMOUNT = rf"(?!\s*(?:{'|'.join(UNITS)})(?![A-Z]))"
"""What may not follow a standard. Source: follows from the units."""
PART = r"(?:\s*[-/]\s*[0-9]{1,2}(?![0-9A-Z]))?(?:[\s,:]*(?:PART|PT)\b\.?\s*[0-9IVX]{1,4}(?![0-9A-Z]))?"
"""The part of a standard, behind its number. Source: how plates are written."""
BEHIND = r"\s*(?:[:\-/(]|OF\b)\s*"
"""What stands between a standard and the year of its edition. Source: how plates are written."""
YEAR = rf"(?:{BEHIND}(?P<year>[0-9]{{4}})(?![0-9]){NO_AMOUNT})?"
"""A year of four digits. Source: how plates are written."""
YEAR_OR_TWO_DIGITS = rf"(?:{BEHIND}(?P<year>[0-9]{{4}}|[0-9]{{2}})(?![0-9]){NO_AMOUNT})?"
"""A year of four digits or its last two. Source: how plates are written."""
CENTURIES = (1900, 2000)
"""What two digits of a year may be counted from. Source: our own choice."""
WEIGHT = {"read": 2, "plate": 1, "memory": 0}
"""Of two clues of one year the better known one is told. Source: our own choice."""


@dataclass(frozen=True, slots=True)
class Standard:
    """A standard that plates name. `editions`: year to how it is known. `several`: one name for many standards."""

    name: str
    pattern: re.Pattern[str]
    editions: Mapping[int, str]
    of_oil: bool
    several: bool

    @property
    def first(self) -> int:
        return min(self.editions)


@dataclass(frozen=True, slots=True)
class Clue:
    """What one thing says. `known`: read, memory, plate. `dates_plate`: it dates the plate, not what it is on.

    `surely`: the year that it says at the least by documents alone.
    """

    name: str
    note: Note
    known: str
    since: int | None = None
    until: int | None = None
    surely: int | None = None
    dates_plate: bool = False
    more: tuple[Note, ...] = field(default=())


def standards(fixed: Fixed) -> list[Standard]:
    """Every standard that stands on the day, those with a name of their own first."""
    short, oil = fixed.text("two_digit_years").split(), fixed.text("oil_standards").split()
    found = []
    for name in fixed.versions:
        if not name.startswith("words_"):
            continue
        key, words = name.removeprefix("words_"), fixed.text(name)
        tail = YEAR_OR_TWO_DIGITS if key in short else PART + YEAR
        pattern = rf"(?<![A-Z0-9])(?:{_either(words)})(?![0-9A-Z])(?!\.[0-9]){tail}{NO_AMOUNT}"
        first = words.partition("|")[0].strip()
        found.append(Standard(first, re.compile(pattern), _editions(key, fixed), key in oil, "#" in words))
    return sorted(found, key=lambda one: one.several)


def _either(words: str) -> str:
    """A pattern for any of these names, however they are spaced, hyphened or dotted."""
    return "|".join(_name(one) for one in words.upper().split("|"))


def _name(words: str) -> str:
    runs = re.findall(r"[A-Z]+|[0-9#]+", words)
    parts = [run.replace("#", "[0-9]") if not run.isalpha() else r"\.?\s?".join(run) for run in runs]
    return r"[\s.:\-]*(?:NO\b[\s.]*)?".join(parts)


def _editions(key: str, fixed: Fixed) -> dict[int, str]:
    """The years of a standard, and how each is known."""
    names = [name for name in fixed.versions if re.fullmatch(rf"edition_{key}_[0-9]+", name)]
    return {int(fixed.number(name)): _known(name, fixed) for name in names}


def _known(name: str, fixed: Fixed) -> str:
    """How a figure is known: what nobody read counts as memory."""
    return "read" if fixed.versions[name].cite.basis == "read" else "memory"


def _plain(text: str) -> str:
    """A text of a plate in capitals, with one kind of dash."""
    return unicodedata.normalize("NFKC", text).translate(DASHES).upper()


def named(text: str, fixed: Fixed) -> Iterator[Clue]:
    """What each standard that a plate names says of the year of that plate, each edition once."""
    plain, newest = _plain(text), int(fixed.number("newest_year"))
    taken: set[int] = set()
    told: set[tuple[str, str | None]] = set()
    for standard in standards(fixed):
        for match in standard.pattern.finditer(plain):
            written = None if standard.several else match["year"]
            if (standard.several and match.start() in taken) or (standard.name, written) in told:
                continue
            taken.add(match.start())
            told.add((standard.name, written))
            yield _edition(standard, written, newest)


def _edition(standard: Standard, written: str | None, newest: int) -> Clue:
    """The year that a standard, and the year written behind it, say at the least."""
    first, known = standard.first, standard.editions
    slots = {"name": standard.name, "first": str(first), "written": written or ""}
    year, how, basis = first, "first" if written is None else "odd", known[first]
    if written is not None:
        may_be = [one for one in _years(written) if first <= one <= newest]
        if may_be:
            year = next((one for one in may_be if one in known), may_be[0])
            how, basis = ("edition", known[year]) if year in known else ("unlisted", "plate")
    slots["year"] = str(year)
    shown = standard.name if how in ("first", "odd") else f"{standard.name}:{year}"
    more = (Note("of_oil", {"name": standard.name}),) if standard.of_oil else ()
    surely = year if basis == "read" else first if known[first] == "read" else None
    return Clue(shown, Note(f"{how}_{basis}", slots), basis, since=year, surely=surely, dates_plate=True, more=more)


def _years(written: str) -> list[int]:
    number = int(written)
    return [number] if len(written) > len("00") else [century + number for century in CENTURIES]


def _holds(words: str, text: str) -> bool:
    """Whether a text holds one of these words as a whole word."""
    either = "|".join(re.escape(one.strip().upper()) for one in words.split("|"))
    return re.search(rf"(?<![A-Z0-9])(?:{either})(?![A-Z0-9])", _plain(text)) is not None


def _cycles(text: str, fixed: Fixed) -> Iterator[Clue]:
    if _holds(fixed.text("cycles_words"), text):
        until = int(fixed.number("cycles_until"))
        yield Clue("cycles", Note("cycles", {"until": str(until)}), _known("cycles_until", fixed), until=until)


def _tank(tank: str, fixed: Fixed) -> Iterator[Clue]:
    ends = {end: f"tank_{tank}_{end}" for end in ("since", "until") if f"tank_{tank}_{end}" in fixed.versions}
    years = {end: int(fixed.number(name)) for end, name in ends.items()}
    if ends:
        slots = {end: str(year) for end, year in years.items()}
        known = min((_known(name, fixed) for name in ends.values()), key=lambda one: WEIGHT[one])
        yield Clue(tank, Note(f"tank_{tank}", slots), known, years.get("since"), years.get("until"))


def build_year(given: Given, fixed: Fixed) -> Worked:
    """The years between which a unit was built: `plate` its words, `tank` its shape, `repairer_plate` true or false.

    What dates a repairer's plate dates the repair; what ended before that plate was made ended before the unit too.
    """
    text, tank = given["plate"] or "", given["tank"]
    if not text and tank == "unknown":
        raise CannotWork("plate", "nothing_to_read")
    clues = [*named(text, fixed), *_cycles(text, fixed), *_tank(tank, fixed)]
    repaired = bool(given["repairer_plate"])
    lower = [one for one in clues if one.since is not None and not (repaired and one.dates_plate)]
    values: dict[str, Value] = {}
    _bounds(values, lower, [one for one in clues if one.until is not None])
    repair = [one.since for one in clues if repaired and one.dates_plate and one.since is not None]
    if repair:
        values["repaired_not_before"] = max(repair)
    since, until = values.get("not_before"), values.get("not_after")
    conflict = isinstance(since, int) and isinstance(until, int) and since > until
    values["conflict"] = conflict
    notes = [note for one in clues for note in (one.note, *one.more)]
    if clues:
        values["because"] = tuple(one.name for one in clues)
    if since is None and until is None:
        notes.append(Note("nothing_dates"))
    if conflict:
        notes.append(Note("years_contradict", {"since": str(since), "until": str(until)}))
    if repaired:
        notes.append(Note("repairer"))
    if _holds(fixed.text("no_pcbs_words"), text):
        notes.append(Note("no_pcbs_mark"))
    return Worked(values, tuple(notes))


def _bounds(values: dict[str, Value], lower: list[Clue], upper: list[Clue]) -> None:
    """The narrowest bounds, how each is known, and the lower one by documents alone."""
    if lower:
        last = max(lower, key=lambda one: (one.since or 0, WEIGHT[one.known]))
        values |= {"not_before": last.since, "lower_known": last.known}
        read = [one.surely for one in lower if one.surely is not None]
        if read:
            values["not_before_read"] = max(read)
    if upper:
        first = min(upper, key=lambda one: (one.until or 0, -WEIGHT[one.known]))
        values |= {"not_after": first.until, "upper_known": first.known}


WORK: dict[str, Work] = {"build_year": build_year}
