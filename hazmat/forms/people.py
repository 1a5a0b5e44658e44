"""Letting somebody into the yard."""

from django import forms

from hazmat.forms.fields import Words
from hazmat.models.person import as_handle
from hazmat.roles import ROLES, WORDS

JOINS = ".-_"
"""Marks that may stand in a name to sign in by. Source: our own choice."""
HANDLE = 64
"""Characters of a name to sign in by, as its column takes them. Source: our own choice."""


class MemberForm(forms.Form):
    """Somebody new, or one more role for somebody who is here."""

    called = Words(label="Name", most=120, required=True, help_text="As others call this person.")
    handle = Words(
        label="Name to sign in by", most=HANDLE, required=True,
        help_text="Short; letters and digits. The same name finds the person again.",
    )  # fmt: skip
    roles = forms.MultipleChoiceField(
        label="What this person does here", choices=[(role, WORDS[role]) for role in ROLES],
        widget=forms.CheckboxSelectMultiple, error_messages={"required": "Choose at least one."},
    )  # fmt: skip

    def clean_called(self) -> str:
        """A name that somebody can read."""
        called: str = self.cleaned_data["called"]
        if not any(char.isalnum() for char in called):
            raise forms.ValidationError("Write what others call this person.")
        return called

    def clean_handle(self) -> str:
        """One spelling, so that nobody exists twice; it can be longer than what was typed."""
        handle = as_handle(self.cleaned_data["handle"])
        if not any(char.isalnum() for char in handle) or len(handle) > HANDLE:
            raise forms.ValidationError("Write a short name, such as ana.")
        if not all(char.isalnum() or char in JOINS for char in handle):
            raise forms.ValidationError("Write letters and digits alone, such as ana or ana.b; no other marks.")
        return handle
