"""Words without which a form is not whole."""

from typing import Any

from django import forms

from hazmat.forms.fields import Words


class Needed(Words):
    """A few words that must stand there; `says`: what an empty box is told."""

    def __init__(self, *, says: str, **more: Any) -> None:
        self.says = says
        super().__init__(required=True, **more)

    def clean(self, value: Any) -> str:
        """The words, tidied."""
        text = super().clean(value)
        if not text:
            raise forms.ValidationError(self.says)
        return text
