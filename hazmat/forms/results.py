"""A result in the words of a laboratory report: which sample, what was found, how surely, by whom, on which day."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils import timezone

from hazmat.core.codes import spaced
from hazmat.core.facts import TANK
from hazmat.core.measures import day_words
from hazmat.core.reported import KeptReport, Reported
from hazmat.core.trail import BottleNow
from hazmat.core.unitnow import ResultNow, UnitNow
from hazmat.edge.one import Slip, read_unit
from hazmat.forms.fields import DayBox, Number, Pick, Words, shown_number
from hazmat.forms.look import tell
from hazmat.forms.look_line import TRUTH, WORD
from hazmat.forms.look_words import ANSWER

NO_BOTTLE = "none"
NOT_DETECTED = "nd"
SIGNS = (
    ("=", "A figure"), ("<", "Less than a figure (<)"), (">", "More than a figure (>)"),
    (NOT_DETECTED, "Not detected (ND)"),
)  # fmt: skip
UNITS: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "mg/kg": ("mg/kg (µg/g is the same)", {"unit": "mg/kg"}),
    "mg/L": ("mg/L", {"unit": "mg/L"}),
    "ppm_weight": ("ppm by weight", {"unit": "ppm", "basis": "weight"}),
    "ppm_volume": ("ppm by volume", {"unit": "ppm", "basis": "volume"}),
    "ppm": ("ppm, and the report does not say by what", {"unit": "ppm"}),
    "%": ("% by weight", {"unit": "%"}),
}
"""Units of measure of a report, in words, and what a line of a register says for each."""
SUMS = (
    ("unknown", "The report does not say"), ("total", "PCB in total"), ("seven", "The sum of seven single PCB"),
    ("six", "The sum of six single PCB"),
)  # fmt: skip
BOXES = {
    "value": "value", "raw": "raw", "reporting_limit": "limit", "density_kg_l": "density",
    "uncertainty.value": "uncertainty", "uncertainty.k": "k", "on": "sampled_on", "method": "method",
}  # fmt: skip
"""In which box each part of a test is typed."""


FAR_OFF = 10
"""How many times larger or smaller than the reported figure a raw one is a slip. Source: our own bound."""


def _wrong_raw(raw: str, beside: str) -> str:
    """Why a raw figure cannot stand beside what was reported, in a sentence; empty where it can."""
    if raw == "0":
        return "No laboratory measures nought; write the raw figure, or empty this box."
    one, other = Decimal(raw or 0), Decimal(beside or 0)
    if one and other and max(one, other) > FAR_OFF * min(one, other):
        return f"This is more than {FAR_OFF} times away from the figure reported; look at both once more."
    return ""


class ReportBox(forms.FileField):
    """One file, looked into elsewhere."""

    def __init__(self) -> None:
        widget = forms.FileInput(attrs={"accept": "application/pdf,image/*"})
        words = "A PDF, or a picture of it. It is kept as it came, beside the book."
        super().__init__(label="The report itself", required=False, widget=widget, help_text=words)

    def clean(self, data: Any, initial: Any = None) -> Any:
        """The file, whatever it is."""
        return data


class ResultForm(forms.Form):
    """What one report says of one sample. Everything that a report may leave out may stay open."""

    bottle = forms.ChoiceField(
        label="Which bottle was it?", widget=forms.RadioSelect,
        error_messages={
            "required": "Pick the bottle, or say that the sample came into none of this book.",
            "invalid_choice": "This bottle is not of this unit, or was never filled; pick one of the answers.",
        },
    )  # fmt: skip
    gap = forms.BooleanField(label="I know that the trail of this bottle has a gap", required=False)
    sampled_on = DayBox(label="Day of the sample", help_text="Only where it came into no bottle of this book.")
    space = Pick(
        label="Of which oil space?", choices=((TANK, TANK),), widget=forms.Select,
        help_text="Only where it came into no bottle of this book.",
    )  # fmt: skip
    sign = forms.ChoiceField(
        label="What was found?", choices=SIGNS, widget=forms.RadioSelect,
        error_messages={
            "required": "Pick what the report says was found.", "invalid_choice": "Pick one of the answers.",
        },
    )  # fmt: skip
    value = Number(label="The figure", unit="")
    raw = Number(
        label="The raw figure", unit="",
        help_text="Where the report gives one too: before it was rounded, or corrected for recovery. In the same unit.",
    )  # fmt: skip
    unit = Pick(
        label="Its unit of measure", choices=[(name, says) for name, (says, _) in UNITS.items()], widget=forms.Select
    )
    limit = Number(label="Reporting limit", unit="", help_text="Also called limit of quantification; in the same unit.")
    sums = Pick(label="What does the figure count?", choices=SUMS, widget=forms.Select)
    density = Number(label="Density of the oil", unit="kg/L", fine=True, help_text="Needed with mg/L or by volume.")
    uncertainty = Number(label="Uncertainty, plus or minus", unit="")
    uncertainty_kind = Pick(
        label="The uncertainty is", choices=(("absolute", "in the unit of the figure"), ("percent", "in % of it")),
        widget=forms.Select,
    )  # fmt: skip
    k = Number(label="Coverage factor k", unit="k", help_text="Where the report names one.")
    method = Words(label="Method", most=120, help_text="As the report names it, such as IEC 61619.")
    accredited = Pick(label="Is the laboratory accredited for it?", choices=ANSWER, initial="unknown")
    laboratory = Words(label="Laboratory", most=120, required=True)
    job = Words(label="The laboratory's number of the job", most=60)
    reported_on = DayBox(label="Day of the report")
    report = ReportBox()

    def __init__(self, *args: Any, unit: UnitNow, spaces: Iterable[str], zone: ZoneInfo, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.now, self.zone = unit, zone
        self.bottles = {one.code: one for one in unit.bottles if one.filled_at}
        offered: Any = self.fields
        none = (NO_BOTTLE, "None: the sample was drawn before it came into this book")
        offered["bottle"].choices = [*((code, self._bottle_words(one)) for code, one in self.bottles.items()), none]
        if not self.bottles:
            offered["bottle"].initial = NO_BOTTLE
        if all(one.unbroken for one in self.bottles.values()):
            del self.fields["gap"]
        names = list(spaces)
        offered["space"].choices, offered["space"].initial = [(name, name) for name in names], names[0]
        self.today = timezone.localdate(timezone=zone)
        for name in ("sampled_on", "reported_on"):
            offered[name].today = self.today

    def _drawn(self, bottle: BottleNow) -> date:
        """The day on which a bottle was filled, in the zone of the yard."""
        return datetime.fromisoformat(bottle.filled_at or bottle.labelled_at).astimezone(self.zone).date()

    def _bottle_words(self, bottle: BottleNow) -> str:
        gap = "" if bottle.unbroken else "; its trail has a gap"
        where = self.now.oil_spaces[bottle.space]
        return f"{spaced(bottle.code)}: {where}, filled {day_words(self._drawn(bottle))}{gap}"

    def clean(self) -> dict[str, Any]:
        """What answers say together; then the test as a register would read it."""
        found = super().clean() or {}
        self._clean_sample(found)
        self._clean_figure(found)
        if not found.get("laboratory") and "laboratory" not in self.errors:
            self.add_error("laboratory", "Write which laboratory it was; a result without one proves nothing.")
        if not found.get("reported_on") and "reported_on" not in self.errors:
            self.add_error("reported_on", "Write the day of the report.")
        if not self.errors:
            self._clean_days(found)
            self._clean_test()
        return found

    def _clean_sample(self, found: Mapping[str, Any]) -> None:
        bottle, day = self.bottles.get(found.get("bottle", "")), found.get("sampled_on")
        if found.get("bottle") == NO_BOTTLE and not day and "sampled_on" not in self.errors:
            self.add_error("sampled_on", "Write the day on which the sample was drawn; the report names it.")
        if bottle and day and date.fromisoformat(day) != self._drawn(bottle):
            on = day_words(self._drawn(bottle))
            self.add_error("sampled_on", f"This bottle was filled on {on}; empty this box, or pick another bottle.")
        if bottle and not bottle.unbroken and not found.get("gap"):
            says = "Tick this, or pick another bottle: the trail of this one has a gap, so its result proves nothing."
            self.add_error("gap", says)

    def _clean_figure(self, found: Mapping[str, Any]) -> None:
        sign, value = found.get("sign"), found.get("value")
        wrong: dict[str, str] = {}
        if sign == NOT_DETECTED:
            if value:
                wrong["value"] = "What was not detected has no figure; empty this box, or pick another answer above."
            if found.get("limit") == "":
                wrong["limit"] = "Write the reporting limit: not detected proves nothing without it."
            if found.get("uncertainty"):
                wrong["uncertainty"] = "An uncertainty belongs to a figure; empty this box."
        elif sign and value == "":
            wrong["value"] = "Write the figure that the report gives."
        elif sign and value == "0":
            wrong["value"] = "No laboratory reports nought: pick “Not detected” and write its reporting limit."
        if says := _wrong_raw(found.get("raw", ""), value or found.get("limit", "")):
            wrong["raw"] = says
        if found.get("k") and found.get("uncertainty") == "":
            wrong["k"] = "A coverage factor belongs to an uncertainty; write that too, or empty this box."
        for name, says in wrong.items():
            if name not in self.errors:
                self.add_error(name, says)

    def _clean_days(self, found: Mapping[str, Any]) -> None:
        bottle = self.bottles.get(found["bottle"])
        drawn = self._drawn(bottle) if bottle else date.fromisoformat(found["sampled_on"])
        if date.fromisoformat(found["reported_on"]) < drawn:
            self.add_error(
                "reported_on",
                f"The report would be older than its sample, which was drawn on {day_words(drawn)}; look at both days, "
                "or at which bottle it is.",
            )

    def _clean_test(self) -> None:
        """Put a refusal of the reader under the box that it is about."""
        try:
            read_unit({"kind": "other", "tests": [self.test()]}, self.now.tag, self.today)
        except Slip as slip:
            box = BOXES.get(slip.path.removeprefix("tests[0]."))
            self.add_error(box, tell(slip.says))

    def test(self) -> dict[str, Any]:
        """The test as a line of a register has it."""
        found, none = self.cleaned_data, self.cleaned_data["bottle"] == NO_BOTTLE
        spread = {"value": found["uncertainty"], "kind": found["uncertainty_kind"], "k": found["k"]}
        told = {
            "how": "laboratory", "on": found["sampled_on"] if none else "", "space": found["space"] if none else "",
            "sign": "" if found["sign"] == NOT_DETECTED else found["sign"], "value": found["value"],
            "raw": found["raw"], **UNITS[found["unit"]][1], "reporting_limit": found["limit"],
            "density_kg_l": found["density"],
            "uncertainty": {key: word for key, word in spread.items() if word} if found["uncertainty"] else "",
            "method": found["method"], "accredited": TRUTH.get(found["accredited"]),
            "congener_sum": "" if found["sums"] == "unknown" else found["sums"],
        }  # fmt: skip
        return {key: value for key, value in told.items() if value not in ("", None)}

    def told(self, report: KeptReport | None) -> Reported:
        """What the act takes."""
        found = self.cleaned_data
        return Reported(
            test=self.test(), reported_on=date.fromisoformat(found["reported_on"]), laboratory=found["laboratory"],
            job=found["job"], bottle="" if found["bottle"] == NO_BOTTLE else found["bottle"],
            gap=bool(found.get("gap")), report=report,
        )  # fmt: skip


class AmendForm(ResultForm):
    """The same, filled from the result that an amended report takes the place of; with the reason."""

    field_order = ("why",)
    why = Words(label="Why is it amended?", most=1000, rows=3, help_text="The old result stays in the book beside it.")

    def clean(self) -> dict[str, Any]:
        """A reason stands with every amendment."""
        found = super().clean()
        if not found.get("why") and "why" not in self.errors:
            self.add_error("why", "Say why the result is amended; the old one stays in the book beside it.")
        return found


def shown(result: ResultNow) -> dict[str, Any]:
    """What the boxes show of a result."""
    test = result.test
    spread = test.get("uncertainty") or {}
    unit = next(
        name for name, (_, told) in UNITS.items() if told == {k: test[k] for k in ("unit", "basis") if k in test}
    )
    boxes = {"value": "value", "raw": "raw", "limit": "reporting_limit", "density": "density_kg_l"}
    return {
        "bottle": result.bottle or NO_BOTTLE, "sampled_on": "" if result.bottle else test["on"],
        "space": test.get("space", TANK), "sign": test.get("sign", "=") if test.get("value") else NOT_DETECTED,
        **{box: shown_number(str(test.get(key, "")), box == "density") for box, key in boxes.items()}, "unit": unit,
        "sums": test.get("congener_sum", "unknown"), "k": str(spread.get("k", "")),
        "uncertainty": shown_number(str(spread.get("value", "")), False),
        "uncertainty_kind": spread.get("kind", "absolute"), "method": test.get("method", ""),
        "accredited": WORD.get(test["accredited"], "unknown") if "accredited" in test else "unknown",
        "laboratory": result.laboratory,
        "job": result.job, "reported_on": result.reported_on,
    }  # fmt: skip
