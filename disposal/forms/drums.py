"""Labelling a drum or a slop can, and pouring oil into one."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django import forms

from disposal.queries.filling import no_warmth
from hazmat.forms.fields import Number, Pick, Words
from hazmat.forms.sums import Signed
from hazmat.forms.timed import Timed


class Warmth(Signed):
    """How warm a liquid is in °C, within what the sum on filling takes."""

    def clean(self, value: Any) -> str:
        """The temperature as plain text, with its sign, empty where nobody said."""
        found = super().clean(value)
        if found and (says := no_warmth(found)):
            raise forms.ValidationError(says)
        return found


def warm_box(label: str, empty: str) -> Warmth:
    """A box for the temperature of a liquid; a keyboard with a minus, since it may be below nought.

    `empty`: what is reckoned with where it is left empty.
    """
    return Warmth(
        label=label, unit="°C", fine=True, help_text=f"The colder, the less goes in. Left empty: {empty}.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )  # fmt: skip


class WarmthForm(forms.Form):
    """At which temperature the filling of a drum is asked."""

    at = warm_box("How warm is the liquid?", "as warm as what came in last, or cold where nobody said")


class LabelDrumForm(Timed):
    """What stands on a drum."""

    field_order = ("capacity_l", "un_mark", "when")
    capacity_l = Number(
        label="How many litres does it take to the brim?", unit="L", help_text="As it stands on it."
    )  # fmt: skip
    un_mark = Words(
        label="Its UN mark, as it stands on it", most=80, help_text="Left empty: it has none, or none can be read."
    )

    def clean_capacity_l(self) -> str:
        """A drum without a size cannot be filled."""
        found: str = self.cleaned_data["capacity_l"]
        if not found or found == "0":
            raise forms.ValidationError("Write how many litres it takes to the brim, as it stands on it.")
        return found


class PourForm(Timed):
    """What was poured into which drum: in litres, in kg, or in both."""

    field_order = ("space", "into", "litres", "kg", "celsius", "all_out", "tool", "note", "when")
    space = Pick(label="Out of which oil space?", choices=(("", ""),), widget=forms.Select)
    into = forms.ChoiceField(
        label="Into which drum or slop can?", widget=forms.Select,
        error_messages={
            "required": "Pick the drum that it went into.",
            "invalid_choice": "No such drum is here; pick one of the list.",
        },
    )  # fmt: skip
    litres = Number(label="How much, in litres?", unit="L", help_text="One of the two is enough.")
    kg = Number(label="How much, in kilograms?", unit="kg")
    celsius = warm_box("How warm was it?", "it counts as cold")
    all_out = forms.BooleanField(label="Nothing more runs out of it", required=False)
    tool = Words(label="Through which hose, pump or can?", most=120)
    note = Words(label="Anything else", most=1000, rows=3)

    def __init__(
        self, *args: Any, drums: Iterable[tuple[str, str]], spaces: Iterable[str] = (), into: str = "", **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["into"].choices = [("", "Pick one"), *drums]  # type: ignore[attr-defined]
        self.fields["into"].initial = into
        names = list(spaces)
        if names:
            self.fields["space"].choices = [(name, name) for name in names]  # type: ignore[attr-defined]
            self.fields["space"].initial = names[0]
        else:
            del self.fields["space"]

    def clean(self) -> dict[str, Any]:
        """An amount is needed."""
        found = super().clean() or {}
        amounts = [found.get("litres"), found.get("kg")]
        wrong = {"litres", "kg"} & self.errors.keys()
        if not wrong and not any(amount not in (None, "", "0") for amount in amounts):
            self.add_error("litres", "Write how much it was, in litres or in kilograms.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        amounts = {name: "" if found[name] == "0" else found[name] for name in ("litres", "kg")}
        more = {name: found[name] for name in ("all_out", "tool", "note", "celsius")}
        space = {"space": found["space"]} if "space" in found else {}
        return {"into": UUID(found["into"]), **space, **amounts, **more}
