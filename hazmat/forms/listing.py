"""What the list of units is asked for."""

from typing import Any, get_args

from django import forms

from hazmat.core.facts import Kind

KIND_WORDS = {kind: kind.replace("_", " ") for kind in get_args(Kind)}
ANY = [("", "any")]
LONGEST_SEQ = 19
"""Digits that no sequence number in use has: a column of 64 bits holds fewer. Source: mathematics."""


class ListForm(forms.Form):
    """Words to seek and filters. What cannot be read is left out: a list is never refused."""

    search = forms.CharField(label="Tag or words of the plate", max_length=100, required=False)
    where = forms.ChoiceField(
        label="Where is it", required=False,
        choices=[("", "here"), ("left", "it has left, or is destroyed"), ("any", "here or not")],
    )  # fmt: skip
    kind = forms.ChoiceField(label="Kind", choices=[*ANY, *KIND_WORDS.items()], required=False)
    held = forms.ChoiceField(label="Hold", choices=[*ANY, ("yes", "on hold"), ("no", "not on hold")], required=False)
    arrival = forms.ChoiceField(
        label="Where from", choices=[*ANY, ("gate", "at the gate"), ("found", "found in place")], required=False
    )
    basis = forms.ChoiceField(
        label="What is shown", required=False,
        choices=[
            *ANY, ("presumed", "presumed"), ("plate", "plate says"), ("screened", "screen says"),
            ("established", "lab says"), ("undetermined", "not known"),
        ],
    )  # fmt: skip
    leak = forms.ChoiceField(
        label="Leak", required=False,
        choices=[
            *ANY, ("none", "none"), ("sweating", "sweating"), ("dripping", "dripping"), ("pool", "pool"),
            ("unknown", "not known"),
        ],
    )  # fmt: skip

    def asked(self) -> tuple[str, dict[str, Any]]:
        """The words to seek, and the columns that are asked for."""
        self.is_valid()
        found = self.cleaned_data
        wanted: dict[str, Any] = {name: found[name] for name in ("kind", "arrival", "basis", "leak") if found.get(name)}
        if found.get("held"):
            wanted["held"] = found["held"] == "yes"
        if found.get("where") != "any":
            wanted["left"] = found.get("where") == "left"
        return found.get("search") or "", wanted

    def below(self) -> int | None:
        """The entry before which the page begins, None for the newest."""
        written = str(self.data.get("below", ""))
        return int(written) if written.isascii() and written.isdigit() and len(written) < LONGEST_SEQ else None
