"""A condition test of oil: what one slip says, each figure with its sign and its method."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from hazmat.core.condition import ConditionIn, ConditionNow
from hazmat.core.sums.tested import BESIDE, FIGURES
from hazmat.forms.fields import Words, shown_number
from hazmat.forms.samples import OfOil, shown_oil
from hazmat.forms.sums import SIGNS, SumForm
from hazmat.rulebooks.sumbook import sums

LEFT_OUT = ("fluid", "pcb_tested")
"""Boxes of the sum that ask about the unit, which its own page knows."""
WHEN = "A paper that tells the day alone: any hour of that day will do. In the time of the yard. Left empty: now."
HELP = {
    "water": "In mg/kg, the same as ppm by weight: 0.002 % is 20.", "ift": "In mN/m, the same as dyn/cm.",
    "dissipation": "Not in per cent: 0.5 % is 0.005. It needs its temperature.",
    "flash": "275 °F is 135 °C. It needs its cup.", "halogens": "In mg/kg, the same as ppm by weight: 0.1 % is 1000.",
    "density": "880 kg/m³ is 0.88.", "acidity": "Also called neutralisation number.",
    "cold": "Not known counts as cold: its figures are kept, and held against no limit.",
}  # fmt: skip


class ConditionForm(OfOil, SumForm):
    """What the sum asks of a slip, with methods, laboratory and paper beside it."""

    tester = Words(label="Which laboratory, or who tested it?", most=120)
    paper = Words(label="Number on the paper", most=60)

    def __init__(self, data: Mapping[str, Any] | None, *, today: date, **kwargs: Any) -> None:
        super().__init__(data, asked=sums()["oil_tested"], today=today, **kwargs)
        for name in LEFT_OUT:
            del self.fields[name]
        for box, says in HELP.items():
            self.fields[box].help_text = says
        self.fields["when"].label, self.fields["when"].help_text = "When was it tested?", WHEN
        order = ["sample", "space", "cold"]
        for box in FIGURES:
            self.fields[f"{box}_method"] = Words(label=f"Method: {self._name(box)}", most=120)
            order += [box, *(beside for beside, of in BESIDE.items() if of == box), f"{box}_method"]
        self.order_fields([*order, "tester", "paper", "note", "why", "when"])

    def _name(self, box: str) -> str:
        label = str(self.fields[box].label)
        return label[:1].lower() + label[1:].partition(",")[0]

    def clean(self) -> dict[str, Any]:
        """A method stands with its figure."""
        found = super().clean()
        for box in FIGURES:
            if found.get(f"{box}_method") and box not in self.errors and not found.get(box):
                self.add_error(box, f"A method is named and no figure; write the {self._name(box)}, or no method.")
        return found

    def told(self) -> ConditionIn:
        """What the act takes."""
        found = self.cleaned_data
        methods = {box: found[f"{box}_method"] for box in FIGURES if found[f"{box}_method"]}
        return ConditionIn(
            asked=self.asked_for(found), methods=methods, tester=found["tester"], paper=found["paper"], **self.oil()
        )


def shown_condition(test: ConditionNow) -> dict[str, Any]:
    """What the boxes show of a test on record."""
    told = {"tester": "", "paper": "", "bottle": "", **test.told}
    return {
        **{key: _shown(value) for key, value in test.asked.items()},
        **{f"{box}_method": says for box, says in test.methods.items()}, "note": test.note,
        "tester": told["tester"], "paper": told["paper"], **shown_oil(test.space, told["bottle"]),
    }  # fmt: skip


def _shown(value: str) -> str:
    """A figure as its box shows it: one that could be misread gets an idle nought."""
    sign = value[:1] if value[:1] in SIGNS else ""
    return sign + shown_number(value.removeprefix(sign), False)
