"""A screen of oil by the colour seen, or a drop of it in water. Below lowers nothing; above counts at once."""

from collections.abc import Mapping
from typing import Any

from django import forms

from hazmat.core.screened import ScreenIn, ScreenNow, Way
from hazmat.forms.fields import Number, Pick, Words
from hazmat.forms.look_line import TRUTH, WORD
from hazmat.forms.look_words import ANSWER
from hazmat.forms.samples import OfOil, shown_oil
from hazmat.forms.timed import Timed

WAYS: tuple[tuple[Way, str], ...] = (("colour", "A colour tube for chlorine"), ("drop", "A drop of the oil in water"))
COLOURS = (
    ("yellow", "Yellow"), ("blue_violet", "Blue to violet"),
    ("unclear", "Neither of them: none, grey, muddy or between"),
)  # fmt: skip
APART = "apart"
SECOND = (("", "Read by one"), (APART, "Somebody else reads it apart, and is not shown this"), *COLOURS)
SEEN_ON = (("tube", "The tube itself"), ("picture", "A photograph of it"))
SET_POINTS = (
    ("", "Not said"), ("20", "20 mg/kg"), ("50", "50 mg/kg"), ("100", "100 mg/kg"), ("500", "500 mg/kg"),
    ("other", "Another one"),
)  # fmt: skip
SINKS = (("unknown", "It is not clear"), ("yes", "It sinks"), ("no", "It floats"))
ASKED = ("wet", "expired", "control_ok")


class ColourPick(Pick):
    """A colour, called by its name beside a patch of it."""

    swatches = True


class ScreenForm(OfOil):
    """What was seen. Whatever nobody looked at stays open."""

    field_order = (
        "way", "sample", "space", "set_point", "other_point", "colour", "second", "wet", "expired", "control_ok",
        "sinks", "lot", "note", "why", "when",
    )  # fmt: skip
    way = forms.ChoiceField(
        label="What was tried?", choices=WAYS, widget=forms.RadioSelect, initial="colour",
        error_messages={"required": "Pick what was tried.", "invalid_choice": "Pick one of the answers."},
    )  # fmt: skip
    set_point = Pick(
        label="The tube is set to", choices=SET_POINTS, widget=forms.Select, help_text="It stands on the packet."
    )
    other_point = Number(label="Another set point", unit="mg/kg")
    colour = ColourPick(label="Which colour do you see?", choices=(("", "Not looked at"), *COLOURS))
    second = ColourPick(label="Which colour does a second person see?", choices=SECOND)
    wet = Pick(label="Did the tube get warm, hiss or turn grey, as with wet oil?", choices=ANSWER, initial="unknown")
    expired = Pick(label="Is the packet past its date?", choices=ANSWER, initial="unknown")
    control_ok = Pick(label="Did a tube without oil show what it should?", choices=ANSWER, initial="unknown")
    sinks = Pick(label="What did the drop do?", choices=SINKS, initial="unknown")
    lot = Words(label="Lot on the packet", most=60)

    def __init__(self, *args: Any, alone: bool = False, corrects: bool = False, **kwargs: Any) -> None:
        """`alone`: nobody else of this yard could read it apart; a screen that is corrected is read on one form."""
        super().__init__(*args, corrects=corrects, **kwargs)
        if alone or corrects:
            second: Any = self.fields["second"]
            second.choices = [one for one in SECOND if one[0] != APART]

    def clean(self) -> dict[str, Any]:
        """A tube needs its set point and a colour; a drop needs what it did."""
        found = super().clean()
        if found.get("way") == "colour":
            self._clean_tube(found)
        elif found.get("way") == "drop" and found.get("sinks") == "unknown":
            self.add_error("sinks", "Say what the drop did; where it was not clear, try again with a fresh one.")
        return found

    def _clean_tube(self, found: Mapping[str, Any]) -> None:
        if not found.get("colour"):
            self.add_error("colour", "Pick the colour that you see; where it is none of them, pick the last one.")
        if not found.get("set_point"):
            self.add_error("set_point", "Pick to what the tube is set; without that its colour says nothing.")
        if found.get("set_point") == "other" and found.get("other_point") in ("", "0", None):
            self.add_error("other_point", "Write to what the tube is set, in mg/kg, as the packet says.")

    def told(self) -> ScreenIn:
        """What the act takes."""
        found = self.cleaned_data
        common: dict[str, Any] = {**self.oil(), "way": found["way"], "lot": found["lot"], "note": found["note"]}
        if found["way"] == "drop":
            return ScreenIn(**common, sinks=TRUTH[found["sinks"]])
        point = found["other_point"] if found["set_point"] == "other" else found["set_point"]
        colours = tuple(one for one in (found["colour"], found["second"]) if one not in ("", APART))
        asked: dict[str, Any] = {key: TRUTH.get(found[key]) for key in ASKED}
        return ScreenIn(**common, set_point=point, colours=colours, apart=found["second"] == APART, **asked)


class ReadForm(Timed):
    """What a second person sees, who is not shown what the first one saw."""

    field_order = ("colour", "seen_on", "when")
    colour = ColourPick(label="Which colour do you see?", choices=(("", "Not looked at"), *COLOURS))
    seen_on = Pick(label="What do you look at?", choices=SEEN_ON)

    def clean_colour(self) -> str:
        """A colour, or that it is none of them."""
        found = str(self.cleaned_data["colour"])
        if not found:
            raise forms.ValidationError("Pick the colour that you see; where it is none of them, pick the last one.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        return {"colour": self.cleaned_data["colour"], "pictured": self.cleaned_data["seen_on"] == "picture"}


def shown_screen(screen: ScreenNow) -> dict[str, Any]:
    """What the boxes show of a screen on record."""
    test = screen.test
    point = str(test.get("set_point", ""))
    known = point in dict(SET_POINTS)
    colours = dict(zip(("colour", "second"), screen.colours, strict=False))
    return {
        **shown_oil(test["space"], test.get("sample", "")), "way": "colour" if test["how"] == "screen" else "drop",
        "set_point": point if known else "other", "other_point": "" if known else point, **colours, "lot": screen.lot,
        "note": screen.note, "sinks": WORD[test["sinks"]] if "sinks" in test else "unknown",
        **{key: WORD[test[key]] if key in test else "unknown" for key in ASKED},
    }  # fmt: skip
