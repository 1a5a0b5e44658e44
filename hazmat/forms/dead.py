"""Whether a unit was proved dead: by whom, how, and what was looked at."""

from collections.abc import Mapping
from typing import Any

from django import forms

from hazmat.forms.fields import Words
from hazmat.forms.look_line import TRUTH
from hazmat.forms.look_words import ANSWER, TRIED
from hazmat.forms.timed import Timed

NEEDED = {
    "proved_by": "Write who proved it dead; without a name it is a claim, so answer “Don't know”.",
    "how": "Write how it was proved dead; without that it is a claim, so answer “Don't know”.",
}
"""What makes a claim a proof, and what is said where it is missing."""


def missing(found: Mapping[str, Any]) -> dict[str, str]:
    """What answers that say *proved dead* still lack, by box, each with its sentence."""
    if found.get("dead") != "yes":
        return {}
    return {name: says for name, says in NEEDED.items() if not (found.get(name) or "").strip()}


class DeadForm(Timed):
    """What stands in an isolation record. Everything but the first answer may stay open."""

    field_order = ("dead", "proved_by", "when")
    dead = forms.ChoiceField(
        label="Was it proved dead?", choices=ANSWER, widget=forms.RadioSelect, initial="unknown",
        help_text="By a competent person, at the unit itself. A label or somebody's word is not proof.",
    )  # fmt: skip
    proved_by = Words(label="Who proved it dead?", most=120)
    how = Words(label="How was it proved dead?", most=1000, rows=3)
    detector_before = forms.ChoiceField(
        label=TRIED["detector_before"], choices=ANSWER, widget=forms.RadioSelect,
        initial="unknown", required=False,
    )  # fmt: skip
    detector_after = forms.ChoiceField(
        label=TRIED["detector_after"], choices=ANSWER, widget=forms.RadioSelect, initial="unknown", required=False
    )
    back_feed = forms.ChoiceField(
        label=TRIED["back_feed"], choices=ANSWER, widget=forms.RadioSelect,
        initial="unknown", required=False,
    )  # fmt: skip
    earthed = forms.ChoiceField(
        label=TRIED["earthed"], choices=ANSWER, widget=forms.RadioSelect, initial="unknown", required=False
    )
    permit = Words(label="Permit number", most=80)
    approach = Words(label="Approach distance kept", most=80)

    def clean(self) -> dict[str, Any]:
        """Proved dead needs a name and a way: without them it is a claim."""
        found = super().clean() or {}
        for name, says in missing(found).items():
            self.add_error(name, says)
        return found

    def proved(self) -> dict[str, Any]:
        """What the record takes; a don't-know is left out."""
        found = self.cleaned_data
        told = {name: TRUTH[found[name]] for name in TRIED if found.get(name) in TRUTH}
        words = {name: found[name] for name in ("how", "permit", "approach", "proved_by") if found.get(name)}
        return {"dead": found["dead"], **words, **told}
