"""The tag of a unit, typed off it."""

from collections.abc import Callable
from uuid import UUID

from django import forms

from hazmat.core.codes import read_code
from hazmat.forms.fields import Words

Finder = Callable[[str], UUID | None]
"""The unit of a tag in the yard, None where there is none."""


class TagBox(Words):
    """A tag as it hangs on a unit; gives its unit, None where the box is empty. `find`: set by its form."""

    def __init__(self, *, label: str, help_text: str) -> None:
        super().__init__(label=label, most=20, help_text=help_text)
        self.find: Finder = lambda tag: None

    def clean(self, value: object) -> UUID | None:  # type: ignore[override]  # the unit itself, not its words
        """The unit. Raises ValidationError for a slip, and for a tag that hangs on no unit of this yard."""
        typed = super().clean(value)
        if not typed:
            return None
        try:
            tag = read_code(typed)
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None
        found = self.find(tag)
        if found is None:
            raise forms.ValidationError("This yard has no unit of this tag; look at it once more, or leave it empty.")
        return found
