"""A certificate: its number, its days, its copy, and the items that it names, ticked or typed as they stand there."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from django import forms

from disposal.core.loadin import Line
from disposal.core.loadnow import LoadNow
from disposal.core.match import plain
from disposal.core.proving import Read, odd_days, read_line, said_of, twice, unclear
from disposal.forms.needed import Needed
from hazmat.forms.fields import DayBox, Lines, Ticks
from hazmat.forms.timed import Timed

EACH, MOST = 40, 200
"""Characters of a typed code, and how many lines fit. Source: our own choice."""


class CertificateForm(Timed):
    """What a certificate says. A code that is one slip away from some item is asked about."""

    field_order = ("number", "issued_on", "done_on", "report", "items", "written", "when")
    number = Needed(
        label="Number of the certificate", most=60,
        says="Write the number of the certificate.",
    )  # fmt: skip
    issued_on = DayBox(label="Day on the certificate")
    done_on = DayBox(label="Day of destruction", help_text="Where the certificate names it.")
    report = forms.FileField(
        label="Copy of the certificate", required=False, help_text="A PDF, or a photograph of it.",
        widget=forms.FileInput(attrs={"accept": "application/pdf,image/*"}),
    )  # fmt: skip
    items = Ticks(label="What does it name?", choices=())
    written = Lines(
        label="Codes as they stand on the certificate", each=EACH, lines=MOST, rows=6,
        help_text="Or type them, one a line.",
    )  # fmt: skip

    def __init__(self, *args: Any, load: LoadNow, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.load, self.read, self.today = load, [*self._read(load)], today
        owing = [one for one in load.items if not said_of(one)]
        self.fields["items"] = Ticks(
            label="What does it name?", help_text="Tick what stands on the certificate.",
            choices=[(one.id, f"{one.called}, {one.thing}") for one in owing],
        )  # fmt: skip
        for name in ("issued_on", "done_on"):
            self.fields[name].today = today  # type: ignore[attr-defined]
        for place, one in enumerate(self.read):
            if one.near or (one.item and self._picked(place, one.written)):
                self.fields[f"pick_{place}"] = self._asked(one, place)
        self.order_fields([*(f"pick_{place}" for place in range(len(self.read))), *self.field_order])

    def _read(self, load: LoadNow) -> list[Read]:
        """Each typed line, read against the load."""
        lines = [line.strip() for line in str(self.data.get("written", "")).splitlines() if line.strip()][:MOST]
        return [read_line(load, line, self._picked(place, line)) for place, line in enumerate(lines)]

    def _picked(self, place: int, line: str) -> str:
        """The item that somebody picked for a line, where it is still that line."""
        item, _, of = str(self.data.get(f"pick_{place}", "")).partition("|")
        return item if of == plain(line) else ""

    def _asked(self, read: Read, place: int) -> forms.ChoiceField:
        """Which of the near items a line means."""
        near = read.near or ((read.item,) if read.item else ())
        return forms.ChoiceField(
            label=f"“{read.written}” is the code of nothing on this load. Which one is meant?", required=False,
            choices=[(f"{one.id}|{plain(read.written)}", f"{one.called}, {one.thing}") for one in near],
            widget=forms.RadioSelect, help_text="Pick one, or mend the line below.",
        )  # fmt: skip

    def clean_issued_on(self) -> date:
        """A certificate has a day."""
        if not self.cleaned_data["issued_on"]:
            raise forms.ValidationError("Write the day that stands on the certificate.")
        return date.fromisoformat(self.cleaned_data["issued_on"])

    def clean_done_on(self) -> date | None:
        """The day of destruction, None where the certificate names none."""
        typed: str = self.cleaned_data["done_on"]
        return date.fromisoformat(typed) if typed else None

    def clean(self) -> dict[str, Any]:
        """All that is wrong is said at once: lines, items, days."""
        found = dict(super().clean() or {})
        for box, says in (*self._odd_lines(found), *self._odd_days(found)):
            self.add_error(box, says)
        return self.cleaned_data

    def _odd_lines(self, found: dict[str, Any]) -> Iterator[tuple[str, str]]:
        """Every typed line is one item, once, or is asked about."""
        for place, one in enumerate(self.read):
            if one.near:
                yield f"pick_{place}", unclear(one)
            elif one.wrong:
                yield "written", one.wrong
        ticked = [one for one in self.load.items if one.id in found.get("items", ())]
        for says in twice([*ticked, *(one.item for one in self.read if one.item)]):
            yield "written", says
        if not self.read and found.get("items") == []:
            yield "items", "Tick or type at least one item that stands on the certificate."

    def _odd_days(self, found: dict[str, Any]) -> Iterator[tuple[str, str]]:
        """Days on which this cannot have been; a day that is wrong by itself is left to its box."""
        if not self.load.received_at:
            return
        handed, took, when = (
            datetime.fromisoformat(self.load.handed_over_at), datetime.fromisoformat(self.load.received_at),
            found.get("when"),
        )  # fmt: skip
        if when and when < took:
            yield "when", "This lies before the facility took it in; look at both times and write when it was."
        came = when.date() if when else self.today
        yield from odd_days(handed.astimezone(self.zone).date(), came, found.get("issued_on"), found.get("done_on"))

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        codes = {one.id: one.code for one in self.load.items}
        ticked = [Line(written=codes[item], item=item) for item in found["items"]]
        typed = [Line(written=one.written, item=one.item.id) for one in self.read if one.item]
        return {
            "number": found["number"], "issued_on": found["issued_on"], "done_on": found["done_on"],
            "lines": [*ticked, *typed],
        }  # fmt: skip
