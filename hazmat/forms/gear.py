"""What is asked about a task before its gear card is printed: plain questions, and the gloves that somebody wears."""

from decimal import Decimal
from typing import Any

from django import forms

from hazmat.core.gearcard import TASK_WORDS
from hazmat.core.law import LawDay
from hazmat.core.wear import ASKED
from hazmat.edge.gear import Answers
from hazmat.forms.fields import Number, Pick, Ticks

ANSWERS = (("yes", "Yes"), ("no", "No"), ("unknown", "Don't know"))
AIR = (
    ("unknown", "Nobody measured or reckoned it"), ("not_above", "It does not lie above the limit of NIOSH"),
    ("above", "It lies above the limit of NIOSH"),
)  # fmt: skip
GLOVES = (
    ("", "Not asked"), ("gauntlet", "Nitrile gauntlets of 0.45 mm or more"),
    ("layered", "Laminate or fluoroelastomer under gauntlets"), ("thin_nitrile", "Thin disposable nitrile"),
    ("pvc_latex", "PVC, latex or rubber"), ("leather", "Leather"),
)  # fmt: skip
MOST = 4
"""Cards on one sheet. Source: four cards of 90 x 125 mm fill a sheet."""


class Question(forms.ChoiceField):
    """Yes, no or don't know; nothing picked is not said, which is no answer."""

    def __init__(self, *, label: str) -> None:
        super().__init__(label=label, choices=ANSWERS, required=False, widget=forms.RadioSelect)

    def clean(self, value: Any) -> str:
        """The word, empty where nobody said."""
        if value and not self.valid_value(value):
            raise forms.ValidationError("This is none of the answers; pick yes, no or don't know.")
        return str(value or "")


class WorkForm(forms.Form):
    """The questions of every card, in the words of the handling book; `house` gives the words and their figures."""

    def __init__(self, *args: Any, house: LawDay, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        said = house.book.sentences
        asked = {one: Question(label=said[f"ask_{one}"].says.format_map(house.words)) for one in ASKED}
        air = Pick(label=said["ask_air"].says, choices=AIR)
        self.fields = {**asked, "air": air, **self.fields}

    def answers(self) -> Answers:
        """What was answered; what cannot be read counts as not said."""
        self.is_valid()
        found = getattr(self, "cleaned_data", {})
        said = {one: found[one] for one in ASKED if found.get(one)}
        return Answers(said=said, air=found.get("air") or AIR[0][0])


class CardForm(WorkForm):
    """The questions, and the gloves that somebody wears right now."""

    glove = Pick(label="Which gloves do you wear?", choices=GLOVES)
    wet = Number(label="How long have they been in contact with oil?", unit="h", help_text="Empty: nobody counted.")
    before = forms.BooleanField(label="They were wetted with oil on another day or at another task", required=False)

    def gloves(self) -> tuple[str, Decimal | None, bool] | None:
        """Kind of glove, hours of contact with oil (None: not counted), wetted before; None where none is picked."""
        found = self.cleaned_data if self.is_valid() else {}
        if not found.get("glove"):
            return None
        hours = Decimal(found["wet"]) if found.get("wet") else None
        return found["glove"], hours, found.get("before", False)


class SheetForm(WorkForm):
    """Which cards stand on a sheet: one to four."""

    tasks = Ticks(
        label="Which cards go on one sheet?", choices=TASK_WORDS.items(), help_text="Up to four, in this order.",
    )  # fmt: skip

    def clean_tasks(self) -> list[str]:
        """One to four tasks."""
        found: list[str] = self.cleaned_data["tasks"]
        if not 0 < len(found) <= MOST:
            raise forms.ValidationError(f"Tick one to {MOST} tasks; more cards go on another sheet.")
        return found
