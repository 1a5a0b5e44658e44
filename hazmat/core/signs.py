"""What a unit shows and what was done to it: marks, plate words, fluids put in."""

from collections.abc import Iterator

from hazmat.core.bulk import Part, Seam, changed_blindly
from hazmat.core.evidence import Bench, Reading
from hazmat.core.measures import figure_words


def read_signs(bench: Bench, tank: Part, seam: Seam) -> Iterator[Reading]:
    """What marks, plate words and fluids put in say about the unit."""
    yield from _marks(bench, tank, seam)
    yield from _plate(bench)
    for place, event in enumerate(bench.unit.history):
        if event.what != "drained" and event.fluid_mg_kg:
            band, klass = bench.house.class_of(event.fluid_mg_kg, "="), bench.klass(event.fluid_mg_kg, "=")
            words = {"figure": f"{figure_words(event.fluid_mg_kg)} mg/kg", "class": bench.class_words(klass)}
            yield Reading("added_fluid", at=f"history[{place}]", klass=klass, band=band, values=words)
    if any(map(changed_blindly, bench.unit.history)):
        yield Reading("refilled", at="history", wants=(("history", "asked"),))


def _marks(bench: Bench, tank: Part, seam: Seam) -> Iterator[Reading]:
    for place, mark in enumerate(bench.unit.marks):
        at = f"marks[{place}]"
        if mark in ("pcb_mark", "pcb_contaminated_mark"):
            klass = bench.law.book.marks[mark].klass if bench.law else None
            key = "pcb_mark" if mark == "pcb_mark" else "contaminated_mark"
            band = bench.house.book.marks[mark].klass
            said = bench.class_words(klass) or bench.house.book.class_words[band].says
            yield Reading(key, at=at, klass=klass, band=band, values={"class": said})
        elif mark == "owner_no_pcbs":
            yield Reading("owner_mark", at=at)
        elif not seam.maker_mark_counts(tank, seam.house):
            words = {"mark_from": bench.house.words["mark_from"]}
            yield Reading("maker_mark_not_valid", at=at, mend="maker_mark_not_valid", values=words)


def _plate(bench: Bench) -> Iterator[Reading]:
    plate, words = bench.plate, {"word": bench.plate.word}
    if plate.reads == "ask":
        yield Reading("plate_ask", at="plate_words", wants=(("grade", "asked"),), mend="plate_ask", values=words)
    elif plate.reads == "not_pcb":
        yield Reading("plate_not_pcb", at="plate_words", values=words)
    elif plate.reads == "claim":
        yield Reading("plate_claim", at="plate_words", values=words)
