"""Training of somebody, and letting one piece of work go ahead although it ran out."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django import forms
from django.utils import timezone

from hazmat.core.training import WORDS, Kind
from hazmat.forms.fields import AheadBox, DayBox, Words
from hazmat.forms.tags import Finder, TagBox
from hazmat.models import Training

PICK = {"required": "Pick one of the list.", "invalid_choice": "This is none of the answers; pick one of them."}


class CertificateBox(forms.FileField):
    """One file, looked into elsewhere."""

    def __init__(self) -> None:
        widget = forms.FileInput(attrs={"accept": "application/pdf,image/*"})
        words = "A PDF, or a picture of it. It is kept as it came, and only those who work here can open it."
        super().__init__(label="The certificate", required=False, widget=widget, help_text=words)

    def clean(self, data: Any, initial: Any = None) -> Any:
        """The file, whatever it is."""
        return data


class TrainingForm(forms.Form):
    """One kind of training of one person, with its days."""

    kind = forms.ChoiceField(label="Trained in what?", widget=forms.RadioSelect, error_messages=PICK)
    done_on = DayBox(label="Done on")
    until = AheadBox(label="Holds until", help_text="The last day on which it holds. Left empty: no end is known.")
    given_by = Words(label="Who gave it?", most=120, help_text="A person or a firm.")
    report = CertificateBox()

    def __init__(self, *args: Any, kinds: Iterable[Kind], zone: ZoneInfo, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered: Any = self.fields
        offered["kind"].choices = [(one.key, f"{one.name}: {one.about}") for one in kinds]
        offered["done_on"].today = timezone.localdate(timezone=zone)

    def clean(self) -> dict[str, Any]:
        """It was done on some day, and does not run out before that."""
        found = super().clean() or {}
        done, until = found.get("done_on"), found.get("until")
        if not done and "done_on" not in self.errors:
            self.add_error("done_on", "Write the day on which it was done; without it nobody can tell what holds.")
        if done and until and until < done:
            self.add_error("until", "It would run out before it was done; look at both days.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        return {
            "kind": found["kind"], "done_on": date.fromisoformat(found["done_on"]),
            "until": date.fromisoformat(found["until"]) if found["until"] else None, "given_by": found["given_by"],
        }  # fmt: skip


def shown(old: Training, given_by: str) -> dict[str, Any]:
    """Training that is being corrected, as its form shows it."""
    return {
        "kind": old.kind, "done_on": old.done_on.isoformat(), "until": old.until.isoformat() if old.until else "",
        "given_by": given_by,
    }  # fmt: skip


class OverrideForm(forms.Form):
    """Who goes ahead with what, where, and why it cannot wait."""

    person = forms.ChoiceField(label="Who goes ahead?", widget=forms.RadioSelect, error_messages=PICK)
    work = forms.ChoiceField(label="With which work?", widget=forms.RadioSelect, error_messages=PICK)
    unit = TagBox(label="At which unit?", help_text="The tag that hangs on it. Left empty: anywhere in this yard.")
    reason = Words(
        label="Why can it not wait?", most=500, rows=3,
        help_text="It stands in the day-book and on papers. Write nothing about anybody's health.",
    )  # fmt: skip

    def __init__(
        self, *args: Any, people: Iterable[tuple[UUID, str]], works: Sequence[str], find: Finder, **kwargs: Any,
    ) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        offered: Any = self.fields
        offered["person"].choices = [(str(key), called) for key, called in people]
        offered["work"].choices = [(one, WORDS[one]) for one in works]
        offered["unit"].find = find

    def clean_reason(self) -> str:
        """A reason stands with it."""
        reason: str = self.cleaned_data["reason"]
        if not reason:
            raise forms.ValidationError("Write why it cannot wait for the training.")
        return reason

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        told = {key: found[key] for key in ("work", "unit", "reason")}
        return {"person": UUID(found["person"]), **told}
