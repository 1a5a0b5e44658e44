"""What a document says of what is in a unit: its maker's, or the known figure of a unit that is like it."""

from hazmat.core.bulk import changed_blindly, put_in
from hazmat.core.facts import Test
from hazmat.core.law import LawDay
from hazmat.core.measures import Measure, figure_words
from hazmat.core.reading import Context, Reading
from hazmat.core.weigh import Weighed, as_words, weigh

ASK_DENSITY = (("unit_of_measure", "asked"),)
ASK_HISTORY = (("history", "asked"),)
STEMS = {"maker_label": "label", "similar_unit": "similar"}
"""How the readings of each route are named."""


def takes_similar(context: Context) -> bool:
    """Whether the law knows a like unit as a way of showing a concentration."""
    return context.law is not None and "similar_unit" in context.law.book.tables["establishing"].columns["route"]


def read_document(context: Context, test: Test) -> Reading:
    """A document: it may establish, by the worst of it and of every fluid put in since; alone it can only raise."""
    stem = STEMS[test.how]
    weighed = weigh(test, context.house, document=True)
    if weighed is None:
        return Reading("label_nothing", wants=ASK_HISTORY)
    later = [event.fluid_mg_kg for event in context.unit.history if put_in(event)]
    known = [figure for figure in later if figure is not None]
    complete = context.unit.service_records == "all" and len(known) == len(later)
    if context.law and context.law.establishes(
        route=test.how,
        figure="lawful" if weighed.lawful else "not_lawful",
        records="complete" if complete and not test.contrary else "incomplete",
        later="maybe_added" if any(map(changed_blindly, context.unit.history)) else "nothing_added",
        sample="own",
        contrary="some" if test.contrary else "none",
        accredited="unknown",
    ):
        return _establishes(context, context.law, test, weighed, known)
    harm = weighed.sign != "<"
    klass = context.klass(weighed.value, weighed.sign, test.space) if harm else None
    band = context.house.class_of(weighed.value, weighed.sign) if harm else None
    values = {"figure": as_words(test, weighed), "class": context.class_words(klass)}
    if test.contrary:
        return Reading(f"{stem}_contrary", klass=klass, band=band, mend=f"{stem}_contrary", values=values)
    if not weighed.lawful:
        values["unit"] = test.unit or ""
        return Reading(f"{stem}_no_basis", klass=klass, band=band, wants=ASK_DENSITY, mend="no_basis", values=values)
    return Reading(f"{stem}_alone", klass=klass, band=band, wants=ASK_HISTORY, values=values)


def _establishes(context: Context, law: LawDay, test: Test, weighed: Weighed, later: list[Measure]) -> Reading:
    """By the worst of the document and of every fluid put in since."""
    classes = [context.klass(weighed.value, weighed.sign, test.space), *(context.klass(one, "=") for one in later)]
    klass = max((one for one in classes if one), key=law.rank.__getitem__)
    words = f"{figure_words(max(later))} mg/kg" if later and max(later) >= weighed.value else as_words(test, weighed)
    key = f"{STEMS[test.how]}_establishes"
    return Reading(key, klass=klass, establishes=True, values={"figure": words, "class": context.class_words(klass)})
