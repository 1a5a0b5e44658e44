"""What a unit shows and what was done to it: marks, plate words, fluids put in."""

from collections.abc import Iterator

from hazmat.core.bulk import Part, Seam, changed_blindly
from hazmat.core.evidence import Context, Reading
from hazmat.core.measures import figure_words


def read_signs(context: Context, tank: Part, seam: Seam) -> Iterator[Reading]:
    """What marks, plate words and fluids put in say about the unit."""
    yield from _marks(context, tank, seam)
    yield from _plate(context)
    for place, event in enumerate(context.unit.history):
        if event.what != "drained" and event.fluid_mg_kg:
            band, klass = context.house.class_of(event.fluid_mg_kg, "="), context.klass(event.fluid_mg_kg, "=")
            words = {"figure": f"{figure_words(event.fluid_mg_kg)} mg/kg", "class": context.class_words(klass)}
            yield Reading("added_fluid", at=f"history[{place}]", klass=klass, band=band, values=words)
    if any(map(changed_blindly, context.unit.history)):
        yield Reading("refilled", at="history", wants=(("history", "asked"),))


def _marks(context: Context, tank: Part, seam: Seam) -> Iterator[Reading]:
    for place, mark in enumerate(context.unit.marks):
        at = f"marks[{place}]"
        if mark in ("pcb_mark", "pcb_contaminated_mark"):
            klass = context.law.book.marks[mark].klass if context.law else None
            key = "pcb_mark" if mark == "pcb_mark" else "contaminated_mark"
            band = context.house.book.marks[mark].klass
            said = context.class_words(klass) or context.house.book.class_words[band].says
            yield Reading(key, at=at, klass=klass, band=band, values={"class": said})
        elif mark == "owner_no_pcbs":
            yield Reading("owner_mark", at=at)
        elif not seam.maker_mark_counts(tank, seam.house):
            words = {"mark_from": context.house.words["mark_from"]}
            yield Reading("maker_mark_not_valid", at=at, mend="maker_mark_not_valid", values=words)


def _plate(context: Context) -> Iterator[Reading]:
    plate, words = context.plate, {"word": context.plate.word}
    if plate.near:
        key = "plate_denied" if plate.denied else "plate_near"
        band = context.house.book.top if plate.might == "pcb" else None
        words["near"] = plate.near
        yield Reading(key, at="plate_words", band=band, wants=(("grade", "asked"),), mend=key, values=words)
    elif plate.reads == "ask":
        yield Reading("plate_ask", at="plate_words", wants=(("grade", "asked"),), mend="plate_ask", values=words)
    elif plate.reads == "not_pcb":
        yield Reading("plate_not_pcb", at="plate_words", values=words)
    elif plate.reads == "claim":
        yield Reading("plate_claim", at="plate_words", values=words)
