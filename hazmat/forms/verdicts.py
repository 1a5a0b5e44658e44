"""A verdict: what is decided, on which results, and why."""

from collections.abc import Iterable
from typing import Any

from django import forms

from hazmat.core.telling import test
from hazmat.core.unitnow import Decision, ResultNow
from hazmat.forms.fields import Ticks, Words

DECISIONS: dict[Decision, str] = {
    "release": "Release it",
    "pcb_route": "Send it down the PCB route",
    "hold": "Hold it",
}
LONGEST_WHY = 1000
"""Characters of the reason of a verdict. Source: our own choice."""


class VerdictForm(forms.Form):
    """A decision with its evidence. A release is always offered; what it lacks is said beside it, and on sending."""

    decision = forms.ChoiceField(
        label="What do you decide?", choices=list(DECISIONS.items()), widget=forms.RadioSelect,
        error_messages={"required": "Pick what you decide.", "invalid_choice": "Pick one of the three answers."},
    )  # fmt: skip
    evidence = Ticks(label="Which results did you read?", choices=())
    reason = Words(label="Why?", most=LONGEST_WHY, rows=3, help_text="It stays with the verdict, under your name.")
    read = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, results: Iterable[ResultNow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["evidence"]
        field.choices = field.offered = [(one.id, f"{test(one.test)} ({one.laboratory})") for one in results]
        if not field.offered:
            del self.fields["evidence"]

    def clean(self) -> dict[str, Any]:
        """A reason stands with every verdict, and evidence with a release."""
        found = super().clean() or {}
        if not found.get("reason") and "reason" not in self.errors:
            self.add_error("reason", "Write why you decide so; the reason stays with the verdict.")
        if found.get("decision") == "release" and "evidence" in self.fields and not found.get("evidence"):
            self.add_error("evidence", "Tick the results that you read against this unit; a release rests on them.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        return {
            "decision": found["decision"], "reason": found["reason"], "evidence": found.get("evidence", []),
            "read": found["read"],
        }  # fmt: skip
