"""Planning a load, putting things on it, taking one off, and what arrived."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any
from uuid import UUID

from django import forms

from disposal.core.drumnow import DrumNow
from disposal.core.loadin import Arrived, PutOn, Settling
from disposal.core.loadnow import ItemNow, LoadNow, Thing
from disposal.core.odd import Odd
from disposal.core.partnernow import PartnerNow
from disposal.forms.needed import Needed
from hazmat.core.codes import read_code, spaced
from hazmat.forms.fields import Number, Words
from hazmat.forms.timed import Timed

ARRIVALS = (("yes", "It was taken in"), ("refused", "It was refused"), ("missing", "It never arrived"))
LATER = (("", "Nobody knows yet"), *ARRIVALS[:2])
"""What may be said later of an item that was missing."""


class PlanForm(Timed):
    """Who carries it, where it goes, and the number of the paper that the law asks for."""

    field_order = ("carrier", "facility", "official", "note", "when")
    carrier = forms.ChoiceField(
        label="Who carries it?",
        error_messages={"required": "Pick who carries it.", "invalid_choice": "Pick a firm of the list."},
    )
    facility = forms.ChoiceField(
        label="Where does it go?",
        error_messages={"required": "Pick where it goes.", "invalid_choice": "Pick a firm of the list."},
    )
    official = Words(
        label="Number of the manifest or consignment note", most=60,
        help_text="Where your law asks for one; left empty where it has none, or where it is not known yet.",
    )  # fmt: skip
    note = Words(label="Anything else", most=1000, rows=3)

    def __init__(self, *args: Any, firms: Sequence[PartnerNow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("carrier", "facility"):
            choices = [("", "Pick one"), *((one.id, one.name) for one in firms)]
            self.fields[name].choices = choices  # type: ignore[attr-defined]

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        return {
            "carrier": UUID(found["carrier"]), "facility": UUID(found["facility"]), "official": found["official"],
            "note": found["note"],
        }  # fmt: skip


class NumberForm(Timed):
    """The official number of a load, as it stands on its paper."""

    field_order = ("official", "when")
    official = Needed(
        label="Number of the manifest or consignment note", most=60, says="Write the number as it stands on the paper.",
    )  # fmt: skip


class PutForm(Timed):
    """Which drums of the yard go on, each with its kg, and any other thing by its code."""

    code = Words(
        label="Tag of a unit, or code of a drum", most=20,
        help_text="As it stands on the tag or the drum. One here; send the form again for the next.",
    )  # fmt: skip
    kg = Number(label="How heavy is it?", unit="kg")

    def __init__(self, *args: Any, drums: Sequence[DrumNow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.drums = drums
        for one in drums:
            self.fields[f"on_{one.code}"] = forms.BooleanField(label=f"Drum {spaced(one.code)}", required=False)
            self.fields[f"kg_{one.code}"] = Number(label=f"How heavy is {spaced(one.code)}?", unit="kg")
            self.initial[f"kg_{one.code}"] = one.kg if one.kg not in ("", "0") else ""

    def rows(self) -> list[tuple[DrumNow, Any, Any]]:
        """Each drum with its two boxes."""
        return [(one, self[f"on_{one.code}"], self[f"kg_{one.code}"]) for one in self.drums]

    def clean_code(self) -> str:
        """A good code, empty where none was typed."""
        typed: str = self.cleaned_data["code"]
        try:
            return read_code(typed) if typed else ""
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None

    def clean(self) -> dict[str, Any]:
        """Nothing weighs nothing."""
        found = super().clean() or {}
        for name in [name for name in found if name.startswith("kg")]:
            if found[name] and Decimal(found[name]) == 0:
                self.add_error(name, "This cannot weigh nothing; weigh it, or leave the box empty.")
        return found

    def ticked(self) -> list[PutOn]:
        """The drums that go on."""
        found = self.cleaned_data
        return [
            PutOn(thing="drum", of=UUID(one.drum), kg=found[f"kg_{one.code}"])
            for one in self.drums
            if found[f"on_{one.code}"]
        ]

    def typed(self, thing: Thing, of: UUID) -> PutOn:
        """What was typed by its code."""
        return PutOn(thing=thing, of=of, kg=self.cleaned_data["kg"])


class TakeOffForm(Timed):
    """Why an item comes off."""

    field_order = ("why", "when")
    why = Needed(
        label="Why does it come off?", most=1000, rows=3,
        help_text="Who wants it off, and why: the driver refuses it, it leaks, it is the wrong one.",
        says="Write why it comes off; the reason stays with the load.",
    )  # fmt: skip


class ReceiveForm(Timed):
    """What became of each item, in one form: taken in, refused or missing; its kg as weighed there."""

    def __init__(self, *args: Any, load: LoadNow, items: Sequence[ItemNow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items = items
        later = bool(load.received_at)
        for place, one in enumerate(items):
            code = one.called
            says = f"Say of {code} whether it was taken in, refused, or never arrived."
            self.fields[f"arrival_{place}"] = forms.ChoiceField(
                label=f"What became of {code}?", choices=LATER if later else ARRIVALS, widget=forms.RadioSelect,
                required=not later, error_messages={"required": says, "invalid_choice": says},
            )  # fmt: skip
            if not later:
                self.initial[f"arrival_{place}"] = ""
            self.fields[f"kg_{place}"] = Number(label=f"{code} as weighed there", unit="kg")
            self.fields[f"note_{place}"] = Words(label=f"What they said of {code}", most=400)
        if not later:
            self.fields["extra"] = Words(
                label="Did they get anything that stands on no list?", most=400, rows=2,
                help_text="What it is and how much. Left empty: nothing.",
            )  # fmt: skip

    def rows(self) -> list[tuple[ItemNow, Any, Any, Any]]:
        """Each item with its boxes."""
        return [(one, self[f"arrival_{n}"], self[f"kg_{n}"], self[f"note_{n}"]) for n, one in enumerate(self.items)]

    def told(self) -> list[Arrived]:
        """What the act takes: every item of which something was said."""
        found = self.cleaned_data
        return [
            Arrived(item=UUID(one.id), arrival=found[f"arrival_{n}"], kg=found[f"kg_{n}"], note=found[f"note_{n}"])
            for n, one in enumerate(self.items)
            if found[f"arrival_{n}"]
        ]


class SettleForm(Timed):
    """How each difference was settled, in words; those left empty stay open."""

    def __init__(self, *args: Any, differences: Sequence[Odd], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.differences = differences
        for place, one in enumerate(differences):
            self.fields[f"says_{place}"] = Words(label=f"{one.says[0].upper()}{one.says[1:]}", most=1000, rows=2)
        self.order_fields([*(f"says_{place}" for place in range(len(differences))), "when"])

    def clean(self) -> dict[str, Any]:
        """At least one of them is settled."""
        found = super().clean() or {}
        if not any(found.get(f"says_{place}") for place in range(len(self.differences))) and not self.errors:
            raise forms.ValidationError("Write of at least one difference how it was settled.")
        return found

    def told(self) -> list[Settling]:
        """What the act takes: each difference of which something was written."""
        return [
            Settling(says=says, item=UUID(one.item) if one.item else None)
            for place, one in enumerate(self.differences)
            if (says := self.cleaned_data[f"says_{place}"])
        ]


class CloseForm(Timed):
    """Closing a load asks for nothing but when."""
