"""The boxes of a named calculation, made from what it asks; worked out as soon as they can be read."""

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django import forms

from hazmat.core.sums.frame import Box, Sum, Worked
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import work
from hazmat.forms.fields import Number, Pick, Words
from hazmat.forms.look import tell

PARTED = re.compile(r"[\s;]+")
MOST_WITHOUT_THOUSANDS = 1000
"""A box that takes no number from here on cannot hold a mark for thousands. Source: our own choice."""
SIGNS, OR_EQUAL = ("<", ">", "="), ("≤", "≥", "~")
"""Signs that may stand before a figure; and those that say too little, or too much."""
TRUTH = (("", "Not said"), ("true", "Yes"), ("false", "No"))


class Signed(Number):
    """A number that may lie below nought."""

    def clean(self, value: Any) -> str:
        """The number as plain text, with its sign."""
        text = "" if value is None else str(value).strip().replace("−", "-")
        found = super().clean(text.removeprefix("-").lstrip())
        return f"-{found}" if text.startswith("-") and found not in ("", "0") else found


class Figure(Signed):
    """A figure as a slip prints it, perhaps with < or > before it; gives `<0.5`, or the plain number."""

    def clean(self, value: Any) -> str:
        """The figure as plain text, with its sign where it is not an equals sign."""
        text = "" if value is None else str(value).strip()
        sign, rest = (text[0], text[1:].strip()) if text[:1] in SIGNS else ("", text)
        if text[:1] in OR_EQUAL or rest[:1] in SIGNS:
            raise forms.ValidationError("Write one sign before the number, < or >, such as <5; none where it is equal.")
        found = super().clean(rest)
        if sign and not found:
            raise forms.ValidationError("A sign stands here without its number; write it after the sign, such as <5.")
        return found if sign == "=" else f"{sign}{found}"


class Numbers(forms.CharField):
    """Several numbers on one line, with blanks or semicolons between them."""

    def __init__(self, *, label: str, unit: str, fine: bool = False, **more: Any) -> None:
        self.one = Number(label=label, unit=unit, fine=fine)
        self.measure = unit
        super().__init__(label=label, required=False, widget=forms.TextInput(attrs={"autocomplete": "off"}), **more)
        self.validators = []

    def clean(self, value: Any) -> list[str]:
        """Each number as plain text."""
        return [self.one.clean(part) for part in PARTED.split("" if value is None else str(value)) if part]


def _fine(box: Box) -> bool:
    return box.most is not None and box.most < MOST_WITHOUT_THOUSANDS


MADE: Mapping[str, Callable[[Box, dict[str, Any]], forms.Field]] = {
    "number": lambda box, more: Number(label=box.says, unit=box.unit, fine=_fine(box), **more),
    "signed": lambda box, more: Signed(label=box.says, unit=box.unit, fine=_fine(box), **more),
    "whole": lambda box, more: Number(label=box.says, unit=box.unit, **more),
    "figure": lambda box, more: Figure(label=box.says, unit=box.unit, fine=_fine(box), **more),
    "list": lambda box, more: Numbers(label=box.says, unit=box.unit, fine=_fine(box), **more),
    "word": lambda box, more: Pick(label=box.says, choices=_words(box), widget=forms.Select, **more),
    "truth": lambda box, more: Pick(label=box.says, choices=TRUTH, **more),
    "text": lambda box, more: Words(label=box.says, most=200, **more),
}


def _words(box: Box) -> list[tuple[str, str]]:
    return [("", "Pick one" if box.needed and not box.first else "Not said"), *box.words.items()]


class SumForm(forms.Form):
    """What a sum asks; `worked` once it was worked out, with `given` as it was read."""

    worked: Worked | None = None

    def __init__(self, data: Mapping[str, Any] | None, asked: Sum, today: date, **more: Any) -> None:
        first = {box.key: box.first for box in asked.boxes if box.first is not None}
        super().__init__(data, **{**more, "initial": {**first, **more.get("initial", {})}})
        self.asked, self.today = asked, today
        for box in asked.boxes:
            asks: dict[str, Any] = {"initial": box.first} if box.first is not None else {}
            if not box.needed and box.first is None:
                asks["help_text"] = "May stay empty."
            self.fields[box.key] = MADE[box.kind](box, asks)

    def asked_for(self, found: Mapping[str, Any]) -> dict[str, Any]:
        """What of these answers the sum takes, as plain text."""
        keys = (box.key for box in self.asked.boxes)
        return {key: found[key] for key in keys if found.get(key) not in ("", [], None)}

    def clean(self) -> dict[str, Any]:
        """Work it out; a refusal stands under the box that it is about."""
        found = super().clean() or {}
        if not self.errors:
            try:
                self.worked = work(self.asked, self.asked_for(found), self.today)
            except Slip as slip:
                self.add_error(slip.path if slip.path in self.fields else None, tell(slip.says))
        return found
