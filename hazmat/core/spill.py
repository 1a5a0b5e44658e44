"""A spill: how much PCB it holds, by which rule of a law it goes, who is told by when. What is not known is the worst.

Concentrations in mg/kg, oil and PCB in kilograms, moments with a zone. Figures and sentences stand in the rulebooks.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import ROUND_FLOOR, Decimal
from typing import Literal, NamedTuple, get_args

from hazmat.core.bulk import CARE
from hazmat.core.clauses import SPILL, SpillRule, compares
from hazmat.core.findings import Finding, finish
from hazmat.core.law import UNDETERMINED, LawDay, Row
from hazmat.core.measures import KG_IN_LB, LITRES_IN_US_GALLON, MG_IN_KG, figure_words, rounded_words

Ground = Literal[
    "concrete", "soil", "grass", "gravel", "water", "drain", "grazing", "garden", "indoors", "other", "unknown"
]
GROUNDS: tuple[Ground, ...] = get_args(Ground)
Place = Literal["restricted", "open", "substation", "unknown"]
PLACES: tuple[Place, ...] = get_args(Place)
Measure = Literal["L", "US gallons", "kg"]
MEASURES: tuple[Measure, ...] = get_args(Measure)
Reach = Literal["yes", "no", "unknown"]
REACHES: tuple[Reach, ...] = get_args(Reach)
WATER, FOOD_LAND = frozenset(("water", "drain", "unknown")), frozenset(("grazing", "garden"))
"""What counts as water or a drain, a ground that nobody looked at among it; and as land that food comes from."""
REPORT, NOTICE, GALLONS, PRESUMED = "spill_report", "spill_notice", "spill_gallons", "spill_untested"
"""Figures of a law: two amounts of PCB in pounds, one of untested oil in US gallons, what untested oil counts as."""
TEN_THOUSAND = Decimal(10000)
"""From here up thousands are set apart for people. Source: our own choice."""
UNDER, FROM, OVER = "under_report", "from_report", "over_notice"


@dataclass(frozen=True, kw_only=True)
class SpillIn:
    """A spill as somebody writes it down. `amount`: as typed, empty where nobody knows; `grounds`: what it fell on.

    `what`: what leaked, in words; `mg_kg`: what somebody says that it holds, empty where nobody does; `public`: whether
    people who do not work there can reach it.
    """

    what: str = ""
    amount: str = ""
    measure: Measure = "L"
    mg_kg: str = ""
    grounds: tuple[Ground, ...] = ("unknown",)
    place: Place = "unknown"
    public: Reach = "unknown"
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Leaked:
    """What is known of the thing that leaked. `words`: what it is; `known`: how well its oil is known.

    `mg_kg`: the highest figure on record that counts, with its whole uncertainty; `litres`: all that there was;
    `density`: in kg/L; `mineral`: whether it is mineral oil, None where nobody knows.
    """

    words: str = ""
    klass: str = UNDETERMINED
    care: str = CARE[-1]
    known: Literal["untested", "low", "high"] = "untested"
    mg_kg: Decimal | None = None
    litres: Decimal | None = None
    density: Decimal | None = None
    mineral: bool | None = None
    transformer: bool = False
    rulebook: str = ""


class Sum(NamedTuple):
    """How much there is: oil and PCB in kg, litres of oil, each None where it is not known; the reasons in words."""

    mg_kg: Decimal
    oil_kg: Decimal | None
    litres: Decimal | None
    pcb_kg: Decimal | None
    says: tuple[Finding, ...]


@dataclass(frozen=True, kw_only=True)
class Asked:
    """One thing that is asked of a spill. `due`: the last moment, None for at once or where no time is set."""

    name: str
    kind: str
    says: Finding
    to: str = ""
    phone: str = ""
    hours: Decimal | None = None
    due: datetime | None = None
    law: bool = False

    @property
    def tells(self) -> bool:
        """Whether somebody is told."""
        return self.kind == "tell"

    @property
    def owed(self) -> bool:
        """Whether it stays open until somebody writes down that it was done."""
        return self.kind in ("tell", "do")


@dataclass(frozen=True, kw_only=True)
class Judged:
    """A spill as the law and the handling book see it: the sum, the rule with its sentence, all that is asked.

    `law`: its rulebook, empty where none is held; `rule`: its answer, empty where it has no rule on that day.
    """

    law: str
    sum: Sum
    care: str
    rule: str
    because: tuple[Finding, ...]
    asked: tuple[Asked, ...]

    def of(self, *kinds: str) -> tuple[Asked, ...]:
        """What is asked of these kinds, in order."""
        return tuple(one for one in self.asked if one.kind in kinds)


def judge(spill: SpillIn, leaked: Leaked, found: datetime, law: LawDay | None, house: LawDay, *, old: bool) -> Judged:
    """All that is said of a spill. `found`: when it was found, with a zone; `law`: of its place, None if none is held.

    Raises ValueError for a moment without a zone.
    """
    if found.tzinfo is None:
        raise ValueError("a moment has its zone")
    klass = class_of(spill, leaked, law)
    care = care_of(spill, leaked, klass, law, house)
    amount = amount_of(spill, leaked, law, house)
    pcb = pcb_column(amount, leaked, law)
    columns = {
        "spill_age": "old" if old else "fresh", "spill_class": klass, "spill_pcb": pcb,
        "spill_tested": "no" if leaked.known == "untested" else "yes",
        "spill_source": "transformer" if leaked.transformer else "other",
    }  # fmt: skip
    rows = _rule(columns, law)
    facts = {
        "spill_rule": rows[0].then if rows else "", "spill_pcb": pcb, "spill_age": columns["spill_age"],
        "spill_on": on_column(spill.grounds), "spill_place": "open" if spill.place == "unknown" else spill.place,
        "spill_reach": "fenced" if spill.public == "no" else "public", "care": care,
        "spill_law": "none" if law is None else "read" if rows else "silent",
    }  # fmt: skip
    asked = [_asked(one, house, found, law=False) for one in house.spills(facts)]
    if law and rows:
        asked += [_asked(one, law, found, law=True) for one in law.spills(facts)]
    because = [_finding(row, law) for row in rows if law]
    return Judged(
        law=law.book.name if law else "", sum=amount, care=care, rule=facts["spill_rule"],
        because=(*because, *_unsaid(spill, law, house, rows, old)),
        asked=tuple(sorted(asked, key=lambda one: one.tells and not one.law)),
    )  # fmt: skip


def _rule(columns: Mapping[str, str], law: LawDay | None) -> tuple[Row, ...]:
    """The rows by which a law takes a spill; none where it has no rule, or none in force on that day."""
    table = law.tables.get(SPILL) if law else None
    decision = table.decide(tuple(columns[name] for name in table.columns)) if table else None
    return decision.rows if decision else ()


def _finding(row: Row, law: LawDay) -> Finding:
    return Finding(f"{row.table}: {row.name}", finish(row.says, law.words), row.cite.document, row.cite.basis)


def _unsaid(spill: SpillIn, law: LawDay | None, house: LawDay, rows: Sequence[Row], old: bool) -> Iterable[Finding]:
    """What is taken as the worst since nobody knows it; what the law of the place does not say."""
    if rows and not old and spill.place == "unknown":
        yield said(house, "spill_no_place")
    if not old and "unknown" in spill.grounds:
        yield said(house, "spill_no_ground")
    for key, one in law.book.silences.items() if law else ():
        if key.startswith(SPILL):
            yield Finding(key, finish(one.says, {}), one.cite.document, one.cite.basis)


# ------------------------------------------------------------------ how much


def class_of(spill: SpillIn, leaked: Leaked, law: LawDay | None) -> str:
    """The class of a law that a spill counts as: of its source, raised by what somebody says it holds."""
    if law is None:
        return UNDETERMINED
    own = _own_class(leaked, law)
    if not spill.mg_kg:
        return own
    typed = law.class_of(Decimal(spill.mg_kg), "=")
    return max(typed, own, key=law.rank.__getitem__) if leaked.words else typed


def _own_class(leaked: Leaked, law: LawDay) -> str:
    """The class of the source; the worst where nobody knows it, or another law gave it."""
    known = leaked.klass in law.book.classes and leaked.rulebook in ("", law.book.name)
    return leaked.klass if known else law.book.top


def care_of(spill: SpillIn, leaked: Leaked, klass: str, law: LawDay | None, house: LawDay) -> str:
    """The care of hands: the worst of that of the source, of the class and of what somebody says, which lowers none."""
    found = [leaked.care]
    if law and klass in law.book.class_words:
        found.append(law.book.class_words[klass].band)
    if spill.mg_kg:
        found.append(house.class_of(Decimal(spill.mg_kg), "="))
    return max(found, key=CARE.index)


def strength_of(spill: SpillIn, leaked: Leaked, law: LawDay | None) -> tuple[Decimal, str]:
    """What the oil counts as in mg/kg, the worst that is known or presumed, and the sentence that says why."""
    typed = Decimal(spill.mg_kg) if spill.mg_kg else None
    if leaked.known != "untested" and leaked.mg_kg is not None:
        return (typed, "spill_by_word") if typed and typed > leaked.mg_kg else (leaked.mg_kg, "spill_by_lab")
    presumed = law.numbers.get(PRESUMED) if law and leaked.known == "untested" else None
    if typed is not None and not leaked.words:
        return (typed, "spill_by_word") if presumed is None or typed >= presumed else (presumed, "spill_by_class")
    top = upper_end(_own_class(leaked, law), law) if law else MG_IN_KG
    top = max(top, presumed) if presumed else top
    counted = max(one for one in (top, leaked.mg_kg, typed) if one is not None)
    if counted == MG_IN_KG:
        return counted, "spill_by_nothing"
    return counted, "spill_by_word" if counted == typed else "spill_by_lab" if counted > top else "spill_by_class"


def upper_end(klass: str, law: LawDay) -> Decimal:
    """Where a class of a law ends, in mg/kg: at the line of the next worse one, or at PCB alone."""
    over = [at for at, _, worse in law.lines if law.rank[worse] > law.rank[klass]]
    return min(over, default=MG_IN_KG)


def amount_of(spill: SpillIn, leaked: Leaked, law: LawDay | None, house: LawDay) -> Sum:
    """Oil and PCB of a spill, read high, with the way to it in words."""
    mg_kg, key = strength_of(spill, leaked, law)
    says = [said(house, key, mg_kg=_grouped(mg_kg))]
    density, known = _density(leaked, house)
    litres = kg = None
    if spill.amount and spill.measure == "kg":
        kg = Decimal(spill.amount)
        litres = kg / density
    elif spill.amount:
        factor = LITRES_IN_US_GALLON if spill.measure == "US gallons" else Decimal(1)
        litres = Decimal(spill.amount) * factor
    elif leaked.litres is not None:
        litres = leaked.litres
        says.append(said(house, "spill_all_of_it", litres=figure_words(litres)))
    if litres is None:
        return Sum(mg_kg, None, None, None, (*says, said(house, "spill_sum_none")))
    if kg is None and not known:
        says.append(said(house, "spill_density", density=figure_words(density)))
    oil = litres * density if kg is None else kg
    pcb = oil * mg_kg / MG_IN_KG
    words = {"kg": _few(oil), "mg_kg": _grouped(mg_kg), "pcb_kg": _few(pcb), "pcb_lb": _few(pcb / KG_IN_LB)}
    if kg is None:
        words |= {"litres": _few(litres), "density": figure_words(density)}
    says.append(said(house, "spill_sum_kg" if kg is not None else "spill_sum_litres", **words))
    line = law.numbers.get(GALLONS) if law and leaked.known == "untested" else None
    if line is not None and mg_kg <= law.numbers[PRESUMED]:  # type: ignore[union-attr]  # a line is of a law
        gallons = {"gallons": _few(litres / LITRES_IN_US_GALLON), "line": figure_words(line)}
        says.append(said(house, "spill_gallons", **gallons))
    return Sum(mg_kg, oil, litres, pcb, tuple(says))


def _density(leaked: Leaked, house: LawDay) -> tuple[Decimal, bool]:
    """The density of what leaked in kg/L, and whether that is known."""
    if leaked.density:
        return leaked.density, True
    if leaked.mineral:
        return house.number("usual_density"), True
    return house.number("heavy_density"), False


def _grouped(value: Decimal) -> str:
    """A figure with its thousands set apart, where it is a whole number of more than four digits."""
    words = figure_words(value)
    return f"{int(value):,}".replace(",", " ") if words.isdigit() and value >= TEN_THOUSAND else words


def _few(value: Decimal) -> str:
    """A worked-out number for people, cut and not rounded: two decimals, or two figures where it is less than one."""
    if not value or value >= 1:
        return rounded_words(value)
    return figure_words(value.quantize(Decimal(1).scaleb(value.adjusted() - 1), ROUND_FLOOR))


def pcb_column(amount: Sum, leaked: Leaked, law: LawDay | None) -> str:
    """Where the PCB of a spill stands against the two amounts of a law; what is not known is over both.

    A pound is reached at it, the notice above it only. Untested oil also goes by its gallons, as the law counts it.
    """
    if law is None or REPORT not in law.numbers or amount.pcb_kg is None:
        return OVER
    if amount.pcb_kg > law.number(NOTICE) * KG_IN_LB:
        return OVER
    gallons = law.number(GALLONS) * LITRES_IN_US_GALLON
    many = leaked.known == "untested" and amount.litres is not None and compares(amount.litres, ">=", gallons)
    return FROM if many or amount.pcb_kg >= law.number(REPORT) * KG_IN_LB else UNDER


def on_column(grounds: Iterable[str]) -> str:
    """What it fell on as the rules see it: water goes before land that food comes from, and both before the rest."""
    given = set(grounds) or {"unknown"}
    return "water" if given & WATER else "food_land" if given & FOOD_LAND else "other"


# ------------------------------------------------------------------ by when


def deadline(found: datetime, hours: Decimal) -> datetime:
    """So many hours after a moment, by the clock of the world, told in its own zone."""
    return (found.astimezone(UTC) + timedelta(hours=float(hours))).astimezone(found.tzinfo)


def _asked(rule: SpillRule, book: LawDay, found: datetime, *, law: bool) -> Asked:
    hours = book.numbers.get(rule.time) if rule.time else None
    says = Finding(rule.name, finish(rule.says, book.words), rule.cite.document, rule.cite.basis)
    return Asked(
        name=rule.name, kind=rule.kind, says=says, to=rule.to, phone=book.words.get(rule.phone or "", ""), hours=hours,
        due=deadline(found, hours) if hours is not None else None, law=law,
    )  # fmt: skip


def soonest(asked: Iterable[Asked]) -> list[Asked]:
    """What is owed, in the order in which it is due: what has no hours is done at once and stands first."""
    return sorted((one for one in asked if one.owed), key=lambda one: (one.due is not None, one.due))


def said(house: LawDay, name: str, **words: str) -> Finding:
    """A sentence of the handling book with its slots filled."""
    one = house.book.sentences[name]
    return Finding(name, finish(one.says, {**house.words, **words}), one.cite.document, one.cite.basis)
