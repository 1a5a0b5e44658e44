"""The order of *Look*: nine steps with clean hands, photographs first; which question belongs to which fact.

Without script all steps stand one below another; the script only hides what does not belong to the kind that is picked.
"""

from collections.abc import Iterator
from functools import cache
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Field, Fieldset, Layout
from crispy_forms.utils import render_field
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from hazmat import rulebooks
from hazmat.core.asks import kinds_for
from hazmat.core.law import Rulebook
from hazmat.forms import look_line
from hazmat.forms.look_words import BIG, LEAK, MORE


class Ask:
    """One question: its boxes, and who says so. `facts`: the keys of a line that it gives.

    `when`: shown by the script only where `box=answer|answer`, `box!=answer` or `box=*` (anything) holds. `lawful`: on
    the page only where the law of the place asks it, or it is answered already.
    """

    def __init__(
        self,
        facts: str,
        *boxes: str,
        when: str = "",
        big: bool = False,
        sourced: bool = True,
        template: str = "",
        lawful: bool = False,
    ) -> None:
        self.facts, self.boxes = tuple(facts.split()), boxes
        self.when, self.big, self.template, self.lawful = when, big, template, lawful
        self.sources = tuple(f"src_{fact}" for fact in self.facts if sourced and fact in look_line.SOURCED)

    def kinds(self, law: tuple[Rulebook, ...]) -> tuple[str, ...]:
        """The kinds that can use one of its facts under this law, nothing where all can; a picture is its kind."""
        return _kinds(self.facts, tuple(book.name for book in law))

    def stands(self, form: Any) -> bool:
        """Whether it is on the page of this form."""
        answered = any(form[box].value() not in (None, "", "unknown") for box in self.boxes)
        return not self.lawful or answered or bool(kinds_for(self.facts, form.law))

    def render(self, form: Any, context: Any, **_: Any) -> SafeString:
        """The question as HTML."""
        boxes = [self._box(box, form, context) for box in self.boxes]
        sources = [render_field(box, form, context) for box in self.sources]
        return render_to_string(
            "_parts/look_ask.html", {"ask": self, "kinds": self.kinds(form.law), "boxes": boxes, "sources": sources}
        )

    def _box(self, box: str, form: Any, context: Any) -> SafeString:
        if not self.template:
            return SafeString(render_field(box, form, context))
        told = {"picked": form[box].value() or "", "pictured": PICTURED.get(box, ()), "more": MORE.items()}
        return SafeString(render_field(box, form, context, template=self.template, extra_context=told))


PICTURED = {
    "kind": tuple((word, says, f"oilward/kinds/{word}.svg") for word, says in BIG.items()),
    "leak": tuple((word, says, f"oilward/leaks/{word}.svg") for word, says in LEAK),
}
"""Answers with a drawing of ours each."""


@cache
def _kinds(facts: tuple[str, ...], laws: tuple[str, ...]) -> tuple[str, ...]:
    """What no table of the law and of the handling book reads is asked of the kinds that any law asks."""
    books, shelf = [rulebooks.rulebook(name) for name in (*laws, rulebooks.HANDLING)], rulebooks.shelf().values()
    found, everything = kinds_for(facts, books) or kinds_for(facts, shelf), kinds_for(("kind",), books)
    if not facts or found == everything:
        return ()
    return (*found, *(name for name, (kind, _) in look_line.PICTURES.items() if kind in found))


def _years(fact: str, box: str) -> tuple[Ask, ...]:
    told = f"{box}_how!=unknown"
    return (
        Ask(fact, f"{box}_how", sourced=False),
        Ask(fact, f"{box}_1", when=told, sourced=False),
        Ask(fact, f"{box}_2", when=f"{box}_how=between", sourced=False),
        Ask(fact, when=told),
    )


def _changes() -> Iterator[Ask]:
    for what in look_line.CHANGES:
        yield Ask("history", what, sourced=False)
        more = (f"{what}_on",) if what == "drained" else (f"{what}_on", f"{what}_mg")
        yield Ask("history", *more, when=f"{what}=on", sourced=False)
    any_change = " ".join(f"{what}=on" for what in look_line.CHANGES)
    yield Ask("history", when=any_change)


def _spaces() -> Iterator[Ask]:
    for row in range(1, look_line.SPACES + 1):
        yield Ask("spaces", f"space_{row}", when=f"space_{row - 1}=*" if row > 1 else "", sourced=False)
        more = (f"space_{row}_{part}" for part in ("kind", "built", "sealed"))
        yield Ask("spaces", *more, when=f"space_{row}=*", sourced=False)
    yield Ask("spaces", when="space_1=*")


TOLD, FOUND, PROVED, LEAKS = "seller_knows=told", "arrival=found", "dead!=unknown", "leak=sweating|dripping|pool"
PICTURES = Ask("", *(f"pictures_{shows}" for shows in ("whole", "plate", "leak", "other")))
ARRIVAL = Ask("", "arrival", big=True)
STEPS: tuple[tuple[str, tuple[Ask, ...]], ...] = (
    ("Photographs", (PICTURES,)),
    ("Where it stands", (
        ARRIVAL,
        Ask("", "where", "access", when=FOUND), Ask("found_in", "country", "part", when=FOUND),
        Ask("", "owner", "owner_phone", "consent", when=FOUND),
    )),
    ("What it is", (
        Ask("kind", "kind", template="_parts/look_pictured.html"),
        Ask("mounting", "mounting", when="kind!=pole_unit|pad_unit"),
        Ask("count", "count"),
    )),
    ("Leak", (
        Ask("state", "leak", template="_parts/look_pictured.html", sourced=False),
        Ask("", "leak_at", when=LEAKS), Ask("state", "state"),
    )),
    ("Plate", (
        Ask("", "plate", big=True), Ask("plate_words", "plate_words", when="plate!=missing"), *_years("built", "built"),
        Ask("made_in", "made_in"), Ask("voltage_v", "voltage_v"), Ask("marks", "marks"),
    )),
    ("What others say", (
        Ask("", "seller_knows", big=True),
        Ask("", "seller_drained", "seller_label", "seller_words", when=TOLD), Ask("", "seller", "seller_phone"),
    )),
    ("The oil", (
        Ask("fluid", "fluid"), Ask("fluid_volume_l", "fluid_volume_l"), Ask("fluid_mass_kg", "fluid_mass_kg"),
        Ask("density_kg_l", "density_kg_l"), *_changes(), Ask("service_records", "service_records"),
        Ask("construction", "construction"), Ask("body_cm3", "body_cm3"), Ask("gross_mass_kg", "gross_mass_kg"),
        *_spaces(),
    )),
    ("Days, and your part", (
        *_years("last_energised", "last"), Ask("decided_waste", "decided_waste"), Ask("arrived", "arrived"),
        Ask("in_use_before", "in_use_before", lawful=True),
        Ask("use_extended_until", "use_extended_until", lawful=True), Ask("site", "site", sourced=False, lawful=True),
        Ask("role", "role"),
    )),
    ("Dead? And anything else", (
        Ask("", "dead"),
        Ask("", "proved_by", "how", "detector_before", "detector_after", "back_feed", "earthed", "permit", "approach",
            when=PROVED),
        Ask("", "note"), Ask("", "tag", "looked_at"),
    )),
)  # fmt: skip
"""Each step with its questions."""

ASKS = tuple(ask for _, asks in STEPS for ask in asks)
ORDER = ("act", "kept", *(box for ask in ASKS for box in (*ask.boxes, *ask.sources)))
"""Every box, in the order of the page."""
ONCE = frozenset((PICTURES, ARRIVAL, *(ask for ask in ASKS if {"dead", "proved_by", "tag"} & set(ask.boxes))))
"""Questions that a correction does not ask again: they have acts of their own, or never change."""


def helper(form: Any) -> FormHelper:
    """How the form is laid out."""
    made = FormHelper()
    made.form_tag, made.disable_csrf, made.include_media = False, True, False
    hidden = ["act", "kept"]
    if form.correcting:
        hidden.append("arrival")
    steps = [
        Fieldset(title, *mine, css_id=f"step_{place}", css_class="step")
        for place, (title, asks) in enumerate(STEPS, 1)
        if (mine := [ask for ask in asks if ask.stands(form) and not (form.correcting and ask in ONCE)])
    ]
    made.layout = Layout(*(Field(name, type="hidden") for name in hidden), *steps)
    return made
