"""Spills: what a note asks, who was told, a step of the cleanup, the signed end."""

from collections.abc import Iterable, Sequence
from typing import Any, cast

from django import forms

from hazmat.core.codes import read_code, spaced
from hazmat.core.spill import MEASURES, Asked, Measure, SpillIn
from hazmat.core.spill import Place as SpillPlace
from hazmat.core.spillnow import STEP_WORDS, UNITS, AccountNow, StepIn, StepNow, StepWhat, ToldNow
from hazmat.forms.fields import Number, Pick, Ticks, Words, shown_number
from hazmat.forms.timed import Timed

GROUND_WORDS = {
    "unknown": "Don't know, nobody has looked", "concrete": "Concrete or tar", "indoors": "A floor or wall indoors",
    "gravel": "Gravel or ballast", "soil": "Bare soil", "grass": "Grass or planted ground",
    "water": "Water: a stream, pond, puddle or the sea", "drain": "A drain, sewer or drinking water",
    "grazing": "Grazing land", "garden": "A vegetable garden", "other": "Something else",
}  # fmt: skip
PLACE_WORDS = {
    "unknown": "Don't know", "restricted": "Fenced or walled, well away from homes and shops (0.1 km or more)",
    "open": "Open to people, or near homes and shops", "substation": "An outdoor electrical substation",
}  # fmt: skip
REACH_WORDS = (("unknown", "Don't know"), ("yes", "Yes"), ("no", "No"))
AMOUNT = "How much was spilled, as far as anybody can tell?"
NONE_OF_THESE = "This is none of the answers; pick one of them."
EMPTY = "Left empty: don't know. Then all that there was counts, or more than any line."


class SpillForm(Timed):
    """A spill note, or an old stain; `corrects`: an account on record is being put right."""

    field_order = (
        "source", "space", "what", "grounds", "amount", "measure", "mg_kg", "where", "place", "public", "found_by",
        "note", "why", "when",
    )  # fmt: skip
    source = Words(label="Tag or code of what leaked", most=12, help_text="Of a unit or a drum. None: leave it empty.")
    space = Pick(label="Out of which oil space?", choices=(("", "Don't know"),))
    what = Words(label="What leaked, in words", most=120, help_text="Such as: old oil from a can without a label.")
    grounds = Ticks(label="What did it fall on? Tick all that hold", choices=GROUND_WORDS.items())
    amount = Number(label=AMOUNT, unit="", help_text=EMPTY)
    measure = Pick(label="Of which measure is that?", choices=tuple((one, one) for one in MEASURES))
    mg_kg = Number(
        label="PCB in it, where a paper says so", unit="mg/kg",
        help_text="Only what is not on record. With a tag it makes more of it, never less; it lowers no gear.",
    )  # fmt: skip
    where = Words(label="Where is it?", most=200, help_text="In words that somebody finds it by. For members only.")
    place = Pick(label="What kind of place is that?", choices=tuple(PLACE_WORDS.items()))
    public = Pick(label="Can people who do not work there reach it?", choices=REACH_WORDS)
    found_by = Words(label="Who found it?", most=80, help_text="As they say their name. For members only.")
    note = Words(label="Anything else", most=2000, rows=3)
    why = Words(label="Why is it corrected?", most=1000, rows=2)

    def __init__(
        self, *args: Any, old: bool, spaces: Sequence[str] = (), corrects: bool = False, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["when"].label = "When was it seen?" if old else "When was it found?"
        self.fields["when"].help_text = "In the time of the yard; hours count from it. Left empty: now."
        if old:
            self.fields["amount"].label = "How much may it have been?"
        if spaces:
            cast("forms.ChoiceField", self.fields["space"]).choices = [
                ("", "Don't know"),
                *((one, one) for one in spaces),
            ]
        else:
            del self.fields["space"]
        if not corrects:
            del self.fields["why"]

    def clean_source(self) -> str:
        """The code of what leaked, read as people write codes."""
        typed = str(self.cleaned_data["source"]).strip()
        try:
            return read_code(typed) if typed else ""
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None

    def told(self) -> SpillIn:
        """What the act takes."""
        found = self.cleaned_data
        return SpillIn(
            what=found["what"], amount=found["amount"], measure=cast("Measure", found["measure"]), mg_kg=found["mg_kg"],
            grounds=tuple(found["grounds"]) or ("unknown",), place=cast("SpillPlace", found["place"]),
            public=found["public"], note=found["note"],
        )  # fmt: skip

    def names(self) -> dict[str, str]:
        """The words for members only."""
        return {"where": self.cleaned_data["where"], "found": self.cleaned_data["found_by"]}


def shown_account(one: AccountNow, aside: dict[str, Any], local: str) -> dict[str, Any]:
    """What the boxes show of an account on record; `local`: when it was found, on the clock of the yard."""
    told = one.told
    return {
        "source": spaced(one.tag or one.code), "space": one.space, "what": told.what, "grounds": list(told.grounds),
        "amount": shown_number(told.amount, False), "measure": told.measure, "mg_kg": shown_number(told.mg_kg, False),
        "where": aside.get("where", ""), "place": told.place, "public": told.public, "found_by": aside.get("found", ""),
        "note": told.note, "when": local,
    }  # fmt: skip


class Fulfils(Timed):
    """Ticks for what is asked that this fulfils; `why` where it amends a line."""

    duties = Ticks(label="Which of these does it fulfil?", choices=())
    note = Words(label="Anything else", most=2000, rows=3)
    why = Words(label="Why is the old line amended?", most=1000, rows=2)

    def __init__(self, *args: Any, asked: Iterable[Asked], amends: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = cast("Ticks", self.fields["duties"])
        field.offered = [(one.name, f"{one.to or one.says.says}") for one in asked]
        field.choices = field.offered
        if not field.offered:
            del self.fields["duties"]
        if not amends:
            del self.fields["why"]

    def ticked(self) -> tuple[str, ...]:
        """The names of what it fulfils."""
        return tuple(self.cleaned_data.get("duties", ()))

    def reason(self) -> str:
        """Why a line is amended; empty where none is."""
        return str(self.cleaned_data.get("why", ""))


class ToldForm(Fulfils):
    """Who was told, when, and under which reference."""

    field_order = ("duties", "office", "who", "reference", "note", "why", "when")
    office = Words(
        label="Who was told?", most=160, help_text="The office, or the owner. Ticked one above: it may stay empty."
    )
    who = Words(label="Who was on the telephone?", most=80, help_text="Their name. For members only.")
    reference = Words(label="Their reference", most=80)

    def clean(self) -> dict[str, Any]:
        """An office that was ticked and not named is named by what was ticked."""
        found = super().clean() or {}
        if not found.get("office") and "office" not in self.errors:
            said = dict(cast("Ticks", self.fields["duties"]).offered) if "duties" in self.fields else {}
            found["office"] = "; ".join(dict.fromkeys(said[one] for one in found.get("duties", ())))
            if not found["office"]:
                self.add_error("office", "Tick who was told, or write it; “told” alone proves nothing.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        return {
            "duties": self.ticked(), "office": found["office"], "who": found["who"], "reference": found["reference"],
            "note": found["note"], "why": self.reason(),
        }  # fmt: skip


class StepForm(Fulfils):
    """One step of the cleanup, with its figures."""

    field_order = ("what", "where", "depth_cm", "kg", "result", "unit", "duties", "note", "why", "when")
    what = forms.ChoiceField(
        label="What was done?", choices=tuple((one, word.capitalize()) for one, word in STEP_WORDS.items()),
        widget=forms.RadioSelect, error_messages={"required": "Pick what was done.", "invalid_choice": NONE_OF_THESE},
    )  # fmt: skip
    where = Words(label="On what, or where?", most=120, help_text="Such as: kerb by the gate, sample S2.")
    depth_cm = Number(label="Depth of soil dug out", unit="cm")
    kg = Number(label="Soil or waste", unit="kg")
    result = Number(label="Result of a wipe, of soil or of water", unit="", help_text="As the laboratory says it.")
    unit = Pick(label="Unit of that result", choices=(("", "none"), *((one, one) for one in UNITS)))

    def told(self) -> StepIn:
        """What the act takes."""
        found = self.cleaned_data
        return StepIn(
            what=cast("StepWhat", found["what"]), duties=self.ticked(), where=found["where"],
            depth_cm=found["depth_cm"], kg=found["kg"], result=found["result"], unit=found["unit"], note=found["note"],
        )  # fmt: skip


def shown_told(one: ToldNow, aside: dict[str, Any]) -> dict[str, Any]:
    """What the boxes show of a line that is amended."""
    return {
        "duties": list(one.duties), "office": one.office, "who": aside.get("who", ""), "reference": one.reference,
        "note": one.note,
    }  # fmt: skip


def shown_step(one: StepNow) -> dict[str, Any]:
    """What the boxes show of a step that is amended."""
    told = one.told
    return {
        "what": told.what, "duties": list(told.duties), "where": told.where, "unit": told.unit, "note": told.note,
        **{name: shown_number(getattr(told, name), False) for name in ("depth_cm", "kg", "result")},
    }  # fmt: skip


class EndForm(Timed):
    """The signed end."""

    field_order = ("reached", "statement", "reason", "name", "when")
    reached = Words(label="What was reached, against the level that is asked for?", most=2000, rows=3)
    statement = Words(label="What you state", most=1000, rows=3)
    reason = Words(
        label="Why it ends though something is open", most=1000, rows=2, help_text="Nothing open: leave it empty."
    )
    name = Words(label="Your name, as you say it", most=80)
