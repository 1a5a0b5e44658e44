"""Bays, and what is put into which."""

from collections.abc import Iterable
from typing import Any

from django import forms

from hazmat.forms.fields import Words
from hazmat.forms.timed import Timed


class BayForm(Timed):
    """The name of a bay."""

    field_order = ("name", "note", "when")
    name = Words(
        label="What is it called?", most=60, required=True, help_text="As it is written over it, such as B1.",
        error_messages={"required": "Give the bay a name, such as the letters that stand over it."},
    )  # fmt: skip
    note = Words(label="Anything else", most=1000, rows=3)

    def clean_name(self) -> str:
        """A bay needs a name."""
        found: str = self.cleaned_data["name"]
        if not found:
            raise forms.ValidationError("Give the bay a name, such as the letters that stand over it.")
        return found


class PutForm(Timed):
    """Into which bay something was put."""

    field_order = ("bay", "when")
    bay = forms.ChoiceField(
        label="Into which bay?", widget=forms.RadioSelect,
        error_messages={"required": "Pick the bay.", "invalid_choice": "No such bay is here; pick one of the list."},
    )  # fmt: skip

    def __init__(self, *args: Any, bays: Iterable[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bay"].choices = list(bays)  # type: ignore[attr-defined]
