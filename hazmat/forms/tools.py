"""Sampling gear and test cells: adding a piece, cleaning it, taking it out of use; and naming it where it was used."""

from collections.abc import Iterable
from typing import Any, cast

from django import forms

from hazmat.core.tools import WORDS, Kind, ToolIn, ToolNow
from hazmat.forms.fields import Words
from hazmat.forms.timed import Timed
from hazmat.papers.frame import local_day

KINDS = tuple((kind, word.capitalize() if kind != "other" else "Something else") for kind, word in WORDS.items())


class ToolForm(Timed):
    """What a piece of gear is, and what it is kept for."""

    field_order = ("kind", "words", "kept", "single_use", "when")
    kind = forms.ChoiceField(
        label="What is it?", choices=KINDS, widget=forms.RadioSelect,
        error_messages={
            "required": "Pick what kind of gear it is.", "invalid_choice": "This is none of the answers; pick one.",
        },
    )  # fmt: skip
    words = Words(label="How to tell it from others", most=120, help_text="Such as: brass thief with a red cord.")
    kept = forms.BooleanField(label="It is kept for untested oil alone", required=False)
    single_use = forms.BooleanField(label="It is used once and thrown away", required=False)

    def clean(self) -> dict[str, Any]:
        """What is none of the named kinds is told in words."""
        found = super().clean() or {}
        if found.get("kind") == "other" and not found.get("words") and "words" not in self.errors:
            self.add_error("words", "Write what it is; “something else” alone tells nobody which piece is meant.")
        return found

    def told(self) -> ToolIn:
        """What the act takes."""
        found = self.cleaned_data
        return ToolIn(
            kind=cast("Kind", found["kind"]), words=found["words"], kept=found["kept"], single_use=found["single_use"]
        )


class CleanForm(Timed):
    """How gear was cleaned."""

    field_order = ("with_what", "how", "note", "when")
    with_what = Words(label="With what?", most=120, help_text="Such as: kerosene, then fresh oil of known origin.")
    how = Words(label="How?", most=1000, rows=3, help_text="Such as: rinsed three times, drained, wiped, left to dry.")
    note = Words(label="Anything else", most=1000, rows=3)

    def clean(self) -> dict[str, Any]:
        """Without both nobody can tell later whether it was enough."""
        found = super().clean() or {}
        for name, says in (("with_what", "Write with what it was cleaned."), ("how", "Write how it was cleaned.")):
            if not found.get(name) and name not in self.errors:
                self.add_error(name, says)
        return found

    def told(self) -> dict[str, str]:
        """What the act takes."""
        return {name: self.cleaned_data[name] for name in ("with_what", "how", "note")}


class RetireForm(Timed):
    """Why gear is taken out of use."""

    field_order = ("reason", "when")
    reason = Words(label="Why?", most=1000, rows=3, help_text="It broke, it cannot be cleaned, it is lost.")

    def clean(self) -> dict[str, Any]:
        """A reason stands with it."""
        found = super().clean() or {}
        if not found.get("reason") and "reason" not in self.errors:
            self.add_error("reason", "Write why it is taken out of use; the reason stays with it.")
        return found

    def told(self) -> dict[str, str]:
        """What the act takes."""
        return {"reason": self.cleaned_data["reason"]}


def offered(tools: Iterable[ToolNow], zone: Any) -> list[tuple[str, str]]:
    """Gear as it is picked: its name, how to know it, what it is kept for, and since when it was not cleaned."""
    return [(one.id, "; ".join(_said(one, zone))) for one in tools]


def _said(tool: ToolNow, zone: Any) -> Iterable[str]:
    yield f"{tool.name[0].upper()}{tool.name[1:]}{f', {tool.told.words}' if tool.told.words else ''}"
    if tool.told.kept:
        yield "kept for untested oil"
    if tool.told.single_use:
        yield "for one use"
    if tool.retired_at is not None:
        yield f"out of use since {local_day(tool.retired_at, zone)}"
    elif tool.used_at is not None and tool.uncleaned:
        yield f"not cleaned since {local_day(tool.used_at, zone)}"
