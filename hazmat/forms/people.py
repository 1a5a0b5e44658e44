"""Letting somebody into the yard."""

from django import forms

from hazmat.models.person import as_handle
from hazmat.roles import ROLES, WORDS


class MemberForm(forms.Form):
    """Somebody new, or one more role for somebody who is here."""

    called = forms.CharField(label="Name", max_length=120, help_text="As others call this person.")
    handle = forms.CharField(
        label="Name to sign in by",
        max_length=64,
        help_text="Short; letters and digits. The same name finds the person again.",
    )
    roles = forms.MultipleChoiceField(
        label="What this person does here", choices=[(role, WORDS[role]) for role in ROLES],
        widget=forms.CheckboxSelectMultiple, error_messages={"required": "Choose at least one."},
    )  # fmt: skip

    def clean_handle(self) -> str:
        """One spelling, so that nobody exists twice."""
        handle = as_handle(self.cleaned_data["handle"])
        if not handle:
            raise forms.ValidationError("Write a short name, such as ana.")
        return handle
