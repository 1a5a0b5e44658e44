"""Oil spaces: one more that somebody found, and which one is taken off."""

from collections.abc import Iterable
from typing import Any

from django import forms

from hazmat.core.codes import read_code
from hazmat.forms.fields import Pick, Words, YearBox
from hazmat.forms.look_line import TRUTH, known
from hazmat.forms.look_words import ANSWER, SPACE_KIND
from hazmat.forms.timed import Timed


class SpaceForm(Timed):
    """One more oil space."""

    field_order = ("name", "kind", "built", "sealed", "when")
    name = Words(label="What is it called?", most=60, required=True, help_text="Tap changer, conservator, bushing 2.")
    kind = Pick(label="Of what kind?", choices=SPACE_KIND, widget=forms.Select)
    built = YearBox(label="Built, if not with the unit", spans=True)
    sealed = Pick(label="Sealed for good?", choices=ANSWER, initial="unknown")
    based_on = forms.CharField(widget=forms.HiddenInput, required=False)

    def clean_name(self) -> str:
        """A space has a name, so that bottles and tests can say which one they are of."""
        found = str(self.cleaned_data["name"])
        if not found:
            raise forms.ValidationError("Name this oil space, such as tap changer, so that it can be found.")
        return found

    def told(self) -> dict[str, Any]:
        """The space as a line has it."""
        found = self.cleaned_data
        told = {
            "name": found["name"], "kind": known(found["kind"]), "built": found["built"],
            "sealed": TRUTH.get(found["sealed"]),
        }  # fmt: skip
        return {key: value for key, value in told.items() if value not in (None, "")}


class PartForm(Timed):
    """Which oil space is taken off, and the printed tag that is hung on it."""

    field_order = ("space", "tag", "when")
    space = Pick(label="Which one is taken off?", choices=(("", "Pick one"),), widget=forms.Select)
    tag = Words(label="Printed tag, if one is hung on it", most=20, help_text="Left empty: a fresh one is drawn.")

    def __init__(self, *args: Any, spaces: Iterable[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered: Any = self.fields["space"]
        offered.choices = [("", "Pick one"), *((name, name) for name in spaces)]

    def clean_space(self) -> str:
        """One of those that are on it."""
        found = str(self.cleaned_data["space"])
        if not found:
            raise forms.ValidationError("Pick which oil space is taken off.")
        return found

    def clean_tag(self) -> str:
        """A code with its check character, or nothing."""
        typed = str(self.cleaned_data["tag"])
        try:
            return read_code(typed) if typed else ""
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None
