"""Look: everything that one page asks about an old unit. Only the kind must be picked; a don't-know is an answer."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core import signing
from django.utils import timezone

from hazmat import rulebooks
from hazmat.core.bulk import CARE
from hazmat.core.codes import TAG_BODY, read_code
from hazmat.core.gear import TO_LOOK, told
from hazmat.core.law import Rulebook
from hazmat.core.lookin import LookIn
from hazmat.core.unitnow import UnitNow
from hazmat.edge.one import Slip, read_unit
from hazmat.forms import look_line, look_steps
from hazmat.forms.dead import missing
from hazmat.forms.fields import (
    AheadBox,
    Dated,
    DayBox,
    Lines,
    MomentBox,
    Number,
    Pick,
    Pictures,
    PlaceBox,
    Ticks,
    Whole,
    Words,
    YearBox,
)  # fmt: skip
from hazmat.forms.look_words import (
    ANSWER,
    ARRIVAL,
    CHANGE,
    CONSENT,
    CONSTRUCTION,
    FLUID,
    KIND,
    LEAK,
    MARK,
    MOUNTING,
    PLATE,
    ROLE,
    SELLER,
    SERVICE,
    SITE,
    SOURCE,
    SPACE_KIND,
    SPAN,
    STATE,
    TRIED,
)  # fmt: skip
from hazmat.forms.timed import in_zone

KEPT_SALT = "oilward.look.kept"
PRIVATE = ("where", "owner", "owner_phone", "consent", "access", "seller", "seller_phone")
PROOF = ("how", "permit", "approach", "proved_by")
SEEN = ("plate", "leak_at")
SIGNED_BY_US = ("line", "claims", "seen", "aside")


def tell(says: str) -> str:
    """A refusal of the reader as a sentence for the person."""
    return f"{says[:1].upper()}{says[1:].rstrip('.')}."


def repeated() -> dict[str, forms.Field]:
    """The boxes of each sort of change, of each oil space, and of who says so for each fact."""
    found: dict[str, forms.Field] = {}
    for what in look_line.CHANGES:
        found[what] = forms.BooleanField(label=CHANGE[what], required=False)
        found[f"{what}_on"] = YearBox(label="When, if known", spans=True, help_text="1985, or 1970/1985, or ~1975.")
        if what != "drained":
            found[f"{what}_mg"] = Number(label="PCB in what was put in, if measured", unit="mg/kg")
    for row in range(1, look_line.SPACES + 1):
        found[f"space_{row}"] = Words(label=f"Oil space {row} besides the main tank", most=60)
        found[f"space_{row}_kind"] = Pick(label="Of what kind?", choices=SPACE_KIND, widget=forms.Select)
        found[f"space_{row}_built"] = YearBox(label="Built, if not with the unit", spans=True)
        found[f"space_{row}_sealed"] = Pick(label="Sealed for good?", choices=ANSWER, initial="unknown")
    for fact in look_line.SOURCED:
        found[f"src_{fact}"] = Pick(label="How do you know?", choices=SOURCE, widget=forms.Select)
    return found


class LookForm(forms.Form):
    """One page, one form. `here`: the facts of the yard; `correcting`: filled from a unit that is on record."""

    act = forms.CharField(required=False, widget=forms.HiddenInput)
    kept = forms.CharField(required=False, widget=forms.HiddenInput)

    pictures_whole = Pictures(label="Of the whole unit")
    pictures_plate = Pictures(label="Of the plate")
    pictures_leak = Pictures(label="Of a leak or a stain")
    pictures_other = Pictures(label="Of something else")

    arrival = Pick(label="Where is it?", choices=ARRIVAL, initial="gate")
    where = Words(label="The place in words", most=300, rows=2, help_text="Road, gate, pole number, what stands near.")
    country = PlaceBox(label="Country")
    part = Words(label="State or part of the country", most=3, help_text="Letters of ISO 3166, such as OR or VIC.")
    owner = Words(label="Whose is it?", most=120)
    owner_phone = Words(label="Owner's telephone", most=40, widget=forms.TextInput(attrs={"type": "tel"}))
    consent = Pick(label="Did the owner or the network agree?", choices=CONSENT, initial="unknown")
    access = Words(label="How to get to it", most=500, rows=2)

    kind = Pick(label="What does it look like?", choices=KIND, initial="")
    count = Whole(label="How many alike?", initial="1", help_text="More than one is a lot under one tag.")
    mounting = Pick(label="How does it stand?", choices=MOUNTING, initial="unknown")

    leak = Pick(label="Does it leak?", choices=LEAK, initial="unknown")
    leak_at = Words(label="Where does oil show?", most=200, help_text="Which side, which fitting.")
    state = Pick(label="In what state is it?", choices=STATE, initial="unknown")

    plate = Pick(label="Can you read the plate?", choices=PLATE, initial="unknown")
    plate_words = Lines(
        label="Words as you read them", each=200, lines=40, rows=4,
        help_text="One line of the plate a line. A photograph is enough for now.",
    )  # fmt: skip
    built_how = Pick(label="When was it built?", choices=SPAN, initial="unknown")
    built_1 = YearBox(label="Year")
    built_2 = YearBox(label="Second year")
    made_in = PlaceBox(label="Made in")
    voltage_v = Number(label="Rated voltage", unit="V", help_text="11 kV is 11000 V.")
    marks = Ticks(label="Which of these labels does it carry?", choices=MARK, help_text="None ticked: none seen.")

    seller_knows = Pick(label="What does the seller or driver say?", choices=SELLER, initial="unasked")
    seller_drained = Pick(label="Do they say that it was drained?", choices=ANSWER, initial="unknown")
    seller_label = Pick(label="Do they say that it had a PCB label?", choices=ANSWER, initial="unknown")
    seller_words = Words(label="In their words", most=1000, rows=3, help_text="Without names; those stand below.")
    seller = Words(label="Who says so?", most=120)
    seller_phone = Words(label="Telephone", most=40, widget=forms.TextInput(attrs={"type": "tel"}))

    fluid = Pick(label="What fluid is in it, as said or as on the plate?", choices=FLUID, initial="unknown")
    fluid_volume_l = Number(label="How much, in litres", unit="L")
    fluid_mass_kg = Number(label="How much, in kilograms", unit="kg", help_text="Of the fluid, not of the unit.")
    density_kg_l = Number(label="Its density", unit="kg/L", fine=True)
    service_records = Pick(label="Are there service records?", choices=SERVICE, initial="unknown")
    construction = Pick(label="How is it closed?", choices=CONSTRUCTION, initial="unknown")
    body_cm3 = Number(label="Outside volume of the can", unit="cm³", help_text="Length times width times height.")
    gross_mass_kg = Number(label="Mass of the whole unit", unit="kg")

    last_how = Pick(label="When was it last in use?", choices=SPAN, initial="unknown")
    last_1 = YearBox(label="Year, month or day")
    last_2 = YearBox(label="Second year, month or day")
    decided_waste = DayBox(label="When was it decided that it is waste?")
    arrived = DayBox(label="When did it arrive here?")
    use_extended_until = AheadBox(
        label="Until which day did the authority extend its use, if it did?",
        help_text="As its letter says; write the number of the letter into the note. The number stands on the label.",
    )
    in_use_before = DayBox(label="On which day, as early as you can show, was it in use already?")
    site = Pick(label="In what sort of place does it stand, or did it when in use?", choices=SITE, initial="unknown")
    role = Pick(label="What are you to it?", choices=ROLE, initial="unknown")

    dead = Pick(label="Was it proved dead?", choices=ANSWER, initial="unknown")
    proved_by = Words(label="By whom?", most=120)
    how = Words(label="How?", most=1000, rows=2)
    detector_before = Pick(label=TRIED["detector_before"], choices=ANSWER, initial="unknown")
    detector_after = Pick(label=TRIED["detector_after"], choices=ANSWER, initial="unknown")
    back_feed = Pick(label=TRIED["back_feed"], choices=ANSWER, initial="unknown")
    earthed = Pick(label=TRIED["earthed"], choices=ANSWER, initial="unknown")
    permit = Words(label="Permit number", most=80)
    approach = Words(label="Approach distance kept", most=80)

    note = Words(label="Anything else", most=4000, rows=4)
    tag = Words(label="Printed tag that hangs on it", most=20, help_text="Left empty: the next one is drawn.")
    looked_at = MomentBox(label="When did you look?", help_text="Left empty: now.")

    def __init__(self, *args: Any, here: Mapping[str, Any], correcting: bool | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields.update(repeated())
        self.order_fields(look_steps.ORDER)
        self.here, self.zone = here, ZoneInfo(here["zone"])
        self.place = here.get("state") or str(here["country"]).upper()
        self.correcting = "based_on" in self.data if correcting is None else correcting
        self.now = timezone.now()
        self.made: LookIn | None = None
        if "country" not in self.initial:
            self.initial["country"], _, self.initial["part"] = self.place.partition("-")
        today = self.now.astimezone(self.zone).date()
        for name, field in self.fields.items():
            if isinstance(field, Dated):
                field.today = today
            if isinstance(field, PlaceBox):
                field.offer(self[name].value())
        for name in look_line.DAYS:
            self.fields[name].widget.attrs["max"] = str(today)
        self.helper = look_steps.helper(self)

    @property
    def law(self) -> tuple[Rulebook, ...]:
        """The law of the place that is picked, else of the yard; nothing where none is held."""
        name = rulebooks.law_of(str(self["country"].value() or self.place))
        return (rulebooks.rulebook(name),) if name else ()

    @property
    def live(self) -> str:
        """What the handling book says of voltage and charge in something of which nothing is known yet."""
        dead = [one for one in rulebooks.rulebook(rulebooks.HANDLING).acts if one.act == "prove_dead"]
        return next(one.says for one in dead if "stored" in dict(one.when).get("charge", ()))

    @property
    def wear(self) -> str:
        """What the handling book says to wear for looking at something of which nothing is known yet."""
        return told(rulebooks.house(self.now.astimezone(self.zone).date()), TO_LOOK, CARE[-1]).says

    # ------------------------------------------------------------------ checking

    def clean_kind(self) -> str:
        """The one answer that is needed."""
        kind: str = self.cleaned_data["kind"]
        if not kind:
            raise forms.ValidationError("Pick what it looks like; “something else” is a whole answer.")
        return kind

    def clean_part(self) -> str:
        """Letters of a part of a country, large."""
        part: str = self.cleaned_data["part"].upper()
        if part and not (part.isascii() and part.isalnum()):
            raise forms.ValidationError("Write one to three letters or digits, such as OR; or leave it empty.")
        return part

    def clean_tag(self) -> str:
        """The tag without blanks."""
        typed: str = self.cleaned_data["tag"]
        if not typed:
            return ""
        if not typed.isascii():
            raise forms.ValidationError("A tag holds plain letters and digits alone; look at it once more.")
        try:
            tag = read_code(typed)
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None
        if len(tag) != TAG_BODY + 1:
            raise forms.ValidationError(f"A tag has {TAG_BODY + 1} characters; look at it once more.")
        return tag

    def clean_looked_at(self) -> datetime | None:
        """The moment in the zone of the yard, not in the future."""
        return in_zone(self.cleaned_data["looked_at"], self.zone)

    def clean(self) -> dict[str, Any]:
        """What two answers together say; then the line as a register would read it."""
        found = super().clean() or {}
        for box in look_line.SPANS.values():
            self._clean_span(box)
        for row in range(1, look_line.SPACES + 1):
            told = [look_line.known(found.get(f"space_{row}_{part}", "")) for part in ("kind", "built", "sealed")]
            if any(told) and not found.get(f"space_{row}") and f"space_{row}" not in self.errors:
                self.add_error(f"space_{row}", "Name this oil space, such as tap changer, so that it can be found.")
        for name, says in missing(found).items():
            if name not in self.errors:
                self.add_error(name, says)
        place = "-".join(part for part in (found.get("country"), found.get("part")) if part)
        if "part" not in self.errors and (wrong := rulebooks.unknown_state(place)):
            self.add_error("part", tell(wrong))
        kept = self._kept()
        if not self.errors:
            self.made = self._made(found, kept)
        return found

    def _clean_span(self, box: str) -> None:
        found = self.cleaned_data
        how, first, second = (found.get(name) for name in (f"{box}_how", f"{box}_1", f"{box}_2"))
        if how is None or first is None or second is None:
            return
        if how == "between" and not (first and second):
            self.add_error(f"{box}_1" if not first else f"{box}_2", "Write both years, or pick another answer above.")
        elif how == "between":
            try:
                YearBox(label="", spans=True).clean(f"{first}/{second}")
            except forms.ValidationError as wrong:
                self.add_error(f"{box}_2", wrong)
        elif how != "unknown" and not first:
            self.add_error(f"{box}_1", "Write the year, or answer “Don't know”.")
        elif how == "unknown" and (first or second):
            self.add_error(f"{box}_how", "A year stands below; pick how it is meant, or empty its box.")
        elif second:
            self.add_error(f"{box}_2", "A second year belongs to “between” only; pick that, or empty this box.")

    def _kept(self) -> dict[str, Any]:
        """What the form was filled with and does not show; signed, so that it comes back as it went out."""
        sealed, nothing = self.cleaned_data.get("kept"), dict[str, Any]()
        if not sealed:
            return nothing
        try:
            found = signing.loads(sealed, salt=KEPT_SALT)
        except signing.BadSignature:
            self.add_error(None, "This form lost a part of what is on record; open it again from the unit's page.")
            return nothing
        if found["look"] != self.data.get("based_on"):
            self.add_error(None, "This form was filled from another unit; open it again from the unit's page.")
        return dict(found)

    def _made(self, found: Mapping[str, Any], kept: Mapping[str, Any]) -> LookIn | None:
        """The whole look; None, with an error in its box, where a register would refuse the line."""
        made = look_line.built(found, kept.get("line", {}), self.place)
        try:
            read_unit(made.line, "look", self.now.astimezone(self.zone).date())
        except Slip as slip:
            self._refuse(slip, made.boxes)
            return None
        sources = {fact: found[f"src_{fact}"] for fact in look_line.SOURCED if fact in made.line}
        if made.line.get("state") == "leaking" and found["state"] != "leaking":
            sources["state"] = "seen"
        claims = {"seller": found["seller_knows"], "drained": found["seller_drained"], "label": found["seller_label"]}
        claims["words"] = found["seller_words"]
        return LookIn(
            arrival=found["arrival"], line=made.line, sources=_told(sources), leak=found["leak"], note=found["note"],
            claims={**kept.get("claims", {}), **_told(claims)},
            seen={**kept.get("seen", {}), **_told({key: found[key] for key in SEEN})},
            aside={**kept.get("aside", {}), **_told({key: found[key] for key in PRIVATE})},
            proved=self._proved(found), happened_at=found["looked_at"], tag=found["tag"],
        )  # fmt: skip

    def _refuse(self, slip: Slip, boxes: Mapping[str, str]) -> None:
        """Put a refusal of the reader under the box that it is about."""
        fits = [path for path in boxes if slip.path == path or slip.path.startswith((f"{path}.", f"{path}["))]
        box = boxes[max(fits, key=len)] if fits else None
        self.add_error(box if box in self.fields else None, tell(slip.says))

    def _proved(self, found: Mapping[str, Any]) -> dict[str, Any] | None:
        """What the isolation record takes; None where nobody said anything."""
        words = {name: found[name] for name in PROOF if found[name]}
        tried = {name: look_line.TRUTH[found[name]] for name in TRIED if found[name] in look_line.TRUTH}
        if found["dead"] == "unknown" and not words and not tried:
            return None
        return {"dead": found["dead"], **words, **tried}

    # ------------------------------------------------------------------ what comes out

    def look(self) -> LookIn:
        """The look. Raises ValueError where the form is not valid."""
        if not self.is_valid() or self.made is None:
            raise ValueError("the form is not valid")
        return self.made

    @classmethod
    def from_unit(cls, unit: UnitNow, aside: Mapping[str, str], *, here: Mapping[str, Any]) -> "LookForm":
        """The form filled with what is on record, to be corrected."""
        shown, line = look_line.initial(unit.line)
        claims, seen = dict(unit.claims), dict(getattr(unit, "seen", {}))
        shown |= {"seller_knows": claims.pop("seller", "unasked"), "seller_words": claims.pop("words", "")}
        shown |= {f"seller_{key}": claims.pop(key, "unknown") for key in ("drained", "label")}
        shown |= {"plate": seen.pop("plate", "unknown"), "leak_at": seen.pop("leak_at", "")}
        shown |= {"arrival": unit.arrival, "leak": unit.leak, "note": unit.note}
        shown |= {name: aside.get(name) or ("unknown" if name == "consent" else "") for name in PRIVATE}
        shown |= {f"src_{fact}": unit.sources.get(fact, "") for fact in look_line.SOURCED}
        if unit.proved:
            shown |= {"dead": unit.proved.dead, "proved_by": aside.get("proved_by", "")}
            shown |= {name: getattr(unit.proved, name) for name in ("how", "permit", "approach")}
            shown |= {name: look_line.WORD.get(getattr(unit.proved, name), "unknown") for name in TRIED}
        other = {key: aside[key] for key in aside if key not in (*PRIVATE, "proved_by")}
        parts = dict(zip(SIGNED_BY_US, (line, claims, seen, other), strict=True))
        if any(parts.values()):
            shown["kept"] = signing.dumps({"look": unit.look, **parts}, salt=KEPT_SALT, compress=True)
        return cls(initial=shown, here=here, correcting=True)


def _told(words: Mapping[str, str]) -> dict[str, str]:
    """Words without the don't-knows."""
    return {key: word for key, word in words.items() if word not in ("", "unknown", "unasked")}
