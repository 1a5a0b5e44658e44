"""What the page *Rule book* is asked: which law, in which state, as at which day, and what to hold it against."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms

from hazmat import rulebooks
from hazmat.models import Edition

STATE = "This state is none of that law; choose one of its own, or leave it open."
DAY = "Write a day such as 2026-11-25."


class RuleBookForm(forms.Form):
    """`law` and `state` begin with those of the yard; `on` empty: today."""

    law = forms.ChoiceField(label="Law, or handling book", required=False)
    state = forms.ChoiceField(label="State or nation, where the law tells them apart", required=False)
    on = forms.DateField(
        label="As at", required=False, error_messages={"invalid": DAY},
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )  # fmt: skip
    than = forms.DateField(
        label="What differs from this day", required=False, error_messages={"invalid": DAY},
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )  # fmt: skip
    edition = forms.ChoiceField(label="What differs from this edition", required=False)

    def __init__(self, data: Mapping[str, str], place: str, today: date) -> None:
        own = rulebooks.law_of(place)
        known = own and rulebooks.rulebook(own).territory(place)
        given = {
            "law": own or rulebooks.HANDLING,
            "state": known or "",
            "on": today.isoformat(),
            **data,
        }
        super().__init__(given)
        self.today, self.own, self.brought = today, own, known or ""
        shelf = rulebooks.shelf()
        self._offer("law", [(name, shelf[name].says) for name in (*rulebooks.laws(), rulebooks.HANDLING)])
        states = [(code, name) for name in rulebooks.laws() for code, name in shelf[name].territories.items()]
        self._offer("state", [("", "none"), *states])
        kept = Edition.objects.order_by("rulebook", "-edition", "-kept_at").values_list("digest", "rulebook", "edition")
        now = {book.digest for book in shelf.values()}
        older = [(digest, f"{name}, {on} ({digest[:10]})") for digest, name, on in kept if digest not in now]
        self._offer("edition", [("", "none"), *older])

    def _offer(self, name: str, choices: list[tuple[str, str]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices

    def clean_on(self) -> date:
        """The day that is asked for, today where none is."""
        found: date | None = self.cleaned_data["on"]
        return found or self.today

    def clean(self) -> dict[str, Any]:
        """A state belongs to its law; one that the yard brought along is dropped without a word."""
        found: dict[str, Any] = super().clean() or {}
        law, state = found.get("law"), found.get("state")
        if state and (not law or state not in rulebooks.rulebook(law).territories):
            found["state"] = ""
            if law == self.own or state != self.brought:
                self.add_error("state", STATE)
        return found
