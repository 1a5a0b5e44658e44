"""Signing in at a job: who, for which work, and that the card was read."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django import forms

from hazmat.core.training import WORDS
from hazmat.forms.fields import Words
from hazmat.forms.training import PICK

STRANGER = "stranger"
"""Picked for somebody without an account. Source: our own."""


class SignInForm(forms.Form):
    """One person at one job of today."""

    work = forms.ChoiceField(label="Which work?", widget=forms.RadioSelect, error_messages=PICK)
    who = forms.ChoiceField(label="Who signs in?", widget=forms.RadioSelect, error_messages=PICK)
    name = Words(label="Name", most=120, help_text="Only of somebody without an account: a visitor, a hired hand.")
    part = forms.ChoiceField(
        label="Works or looks on?", choices=(("works", "Works"), ("looks_on", "Looks on, and touches nothing")),
        widget=forms.RadioSelect, initial="works", error_messages=PICK,
    )  # fmt: skip
    read = forms.BooleanField(
        label="The card above was read, by me or by the one beside me who says so",
        error_messages={"required": "Read what to wear and what not to do, and tick that it was read."},
    )

    def __init__(self, *args: Any, works: Iterable[str], people: Iterable[tuple[UUID, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered: Any = self.fields
        offered["work"].choices = [(one, WORDS[one]) for one in works]
        offered["who"].choices = [
            *((str(key), called) for key, called in people), (STRANGER, "Somebody without an account"),
        ]  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """Somebody without an account has a name, and looks on."""
        found = super().clean() or {}
        stranger = found.get("who") == STRANGER
        if stranger and not found.get("name") and "name" not in self.errors:
            self.add_error("name", "Write the name of whoever is there.")
        if found.get("who") and not stranger and found.get("name"):
            self.add_error(
                "name", "This name is of nobody on the list; pick “Somebody without an account”, or empty it."
            )
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        stranger = found["who"] == STRANGER
        return {
            "work": found["work"], "person": None if stranger else UUID(found["who"]),
            "name": found["name"] if stranger else "", "part": found["part"], "read": found["read"],
        }  # fmt: skip
