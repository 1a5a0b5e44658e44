"""What is known of a unit's oil once it leaks: its class, the highest figure on record, how much there was."""

from decimal import Decimal

from hazmat.core.facts import TANK, Test, Unit
from hazmat.core.law import LawDay
from hazmat.core.measures import MG_IN_KG
from hazmat.core.spill import Leaked
from hazmat.core.telling import kind_word
from hazmat.core.unitnow import UnitNow
from hazmat.core.weigh import reach, weigh
from hazmat.edge.one import seen
from hazmat.edge.unsigned import LABORATORY

TRANSFORMERS = ("transformer", "instrument_transformer")


def leaked_unit(unit: UnitNow, space: str, place: str) -> Leaked:
    """What is known of the oil of a unit, or of one of its spaces; `place`: the yard's own country code."""
    facts, judge = seen(unit, place)
    oil = unit.oil_of((space,)) if space else unit.oil
    figures = [
        found
        for test in facts.tests
        if test.how == LABORATORY and test.matrix == "oil" and (not space or test.space == space)
        if (found := _highest(test, judge.house, judge.law)) is not None
    ]
    return Leaked(
        words=f"{kind_word(facts.kind)} {unit.tag}", klass=oil.klass, care=oil.care, known=oil.known,
        mg_kg=max(figures, default=None), litres=_litres(facts, judge.house) if space in ("", TANK) else None,
        density=facts.density_kg_l, mineral=None if facts.fluid is None else facts.fluid == "mineral",
        transformer=facts.kind in TRANSFORMERS, rulebook=oil.rulebook,
    )  # fmt: skip


def _highest(test: Test, house: LawDay, law: LawDay | None) -> Decimal | None:
    """The highest figure that a result allows, in mg/kg; None where it holds none."""
    weighed = weigh(test, house, law=law)
    if weighed is None:
        return None
    if weighed.sign == ">":
        return MG_IN_KG
    return weighed.value if weighed.sign == "<" else min(MG_IN_KG, reach(test, weighed, house).high)


def _litres(facts: Unit, house: LawDay) -> Decimal | None:
    """All the oil of a unit, or of a whole lot, in litres, read high; None where it is not known."""
    density = facts.density_kg_l or house.number("cautious_density")
    told = [one for one in (facts.fluid_volume_l, facts.fluid_mass_kg and facts.fluid_mass_kg / density) if one]
    return max(told) * facts.count if told else None
