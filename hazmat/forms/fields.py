"""Boxes that people fill in on a phone: words, numbers with a unit, days, years as a span, pictures.

A refusal says what is wrong and how to mend it; what was typed stays in the box. An empty box is a don't-know.
"""

import re
import unicodedata
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from hazmat.core.measures import day_words, figure_words
from hazmat.core.spans import parse_span, written_days
from hazmat.edge.places import COUNTRIES, NAMES, called
from hazmat.edge.shapes import COUNTRY, LARGEST, PLAIN_DAY, PLAIN_NUMBER

HIDDEN_TURNS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that turn the direction of the words after them, so that a paper would read otherwise than the record."""
BLANKS = re.compile(r"[\t\u00a0\u2007\u2009\u202f ]+")
GROUPED = re.compile(r"[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?", re.ASCII)
"""Thousands set apart by blanks, which no one can misread."""
THREE_AFTER = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}", re.ASCII)
"""One thousand two hundred, or one and a bit: countries differ."""
MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2})?", re.ASCII)
YEAR_WIDTH = 4
"""Digits of a year. Source: ISO 8601."""


def tidy(text: str) -> str:
    """Text in one spelling (NFC), its lines ended alike, tabs and odd blanks made plain, nothing around it.

    Raises ValidationError where it holds characters that nobody can see or print.
    """
    lines = re.split("\r\n|[\r\n\u2028\u2029]", str(text))
    for line in lines:
        for char in line:
            if char != "\t" and (unicodedata.category(char) in ("Cc", "Cs") or char in HIDDEN_TURNS):
                raise forms.ValidationError(
                    f"There is a character in it that cannot be seen or printed (U+{ord(char):04X}); type it again."
                )
    return unicodedata.normalize("NFC", "\n".join(BLANKS.sub(" ", line).rstrip() for line in lines).strip())


class Words(forms.CharField):
    """A few words on one line, or on several; never required."""

    def __init__(self, *, label: str, most: int, rows: int = 0, **more: Any) -> None:
        self.most, self.rows = most, rows
        if rows:
            more["widget"] = forms.Textarea(attrs={"rows": rows})
        more.setdefault("required", False)
        super().__init__(label=label, strip=False, **more)
        self.validators = []

    def clean(self, value: Any) -> str:
        """The words, tidied."""
        text = tidy("" if value is None else value)
        if not self.rows and "\n" in text:
            raise forms.ValidationError("This takes one line; write it without a line break.")
        if len(text) > self.most:
            raise forms.ValidationError(
                f"This is {len(text)} characters long and {self.most} fit; shorten it, the rest can go in the note."
            )
        return text


class Lines(Words):
    """Several lines as a list, blank ones left out."""

    def __init__(self, *, each: int, lines: int, **more: Any) -> None:
        self.each, self.lines = each, lines
        super().__init__(most=each * lines, **more)

    def prepare_value(self, value: Any) -> Any:
        """A list as lines."""
        return "\n".join(value) if isinstance(value, (list, tuple)) else value

    def clean(self, value: Any) -> Any:
        """The lines; too many or too long ones are refused."""
        found = [line.strip() for line in super().clean(value).split("\n") if line.strip()]
        if len(found) > self.lines:
            raise forms.ValidationError(f"These are {len(found)} lines and {self.lines} fit; write two on one line.")
        if any(len(line) > self.each for line in found):
            raise forms.ValidationError(f"A line takes {self.each} characters; break the long one in two.")
        return found


class Number(forms.CharField):
    """A number that is not negative, with its unit beside the box; gives its plain text, empty where not known."""

    def __init__(self, *, label: str, unit: str, fine: bool = False, **more: Any) -> None:
        """`fine`: three digits after the mark are usual here, as with a density, and no thousands are."""
        self.measure, self.fine = unit, fine
        more.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(label=label, required=False, **more)
        self.validators = []

    def clean(self, value: Any) -> str:
        """The number as plain text, without idle noughts."""
        text = BLANKS.sub(" ", "" if value is None else str(value)).strip()
        if not text:
            return ""
        if GROUPED.fullmatch(text):
            text = text.replace(" ", "").replace(",", ".")
        elif "," in text:
            text = self._with_comma(text)
        elif THREE_AFTER.fullmatch(text) and not self.fine:
            raise self._unclear(text)
        if not PLAIN_NUMBER.fullmatch(text):
            raise forms.ValidationError(self._no_number())
        number = Decimal(text)
        if number > LARGEST:
            raise forms.ValidationError(
                f"So many {self.measure}".rstrip() + " cannot be; look at the number once more."
            )
        return figure_words(number)

    def _with_comma(self, text: str) -> str:
        if "." in text or text.count(",") > 1 or (THREE_AFTER.fullmatch(text) and not self.fine):
            raise self._unclear(text)
        return text.replace(",", ".")

    def _no_number(self) -> str:
        where = f"the unit ({self.measure}) stands beside it" if self.measure else "the unit is picked apart"
        return f"This is no plain number; write digits alone, such as 12.5; {where}."

    def _unclear(self, text: str) -> forms.ValidationError:
        """What it could mean is named only where it is a number at all."""
        digits = re.sub(r"[.,]", "", text)
        if not re.fullmatch(r"[0-9]{1,15}", digits, re.ASCII):
            return forms.ValidationError(self._no_number())
        return forms.ValidationError(
            "This can be read in two ways; write it without a mark for thousands, such as 1234, or 1.2 for a part."
        )


def shown_number(text: str, fine: bool) -> str:
    """A plain number as a box shows it: one that could be misread gets an idle nought (`1.234` is `1.2340`)."""
    return f"{text}0" if not fine and THREE_AFTER.fullmatch(text) and "." in text else text


class Whole(forms.CharField):
    """A whole number from 1; gives 1 where the box is empty."""

    def __init__(self, *, label: str, **more: Any) -> None:
        attrs = {"inputmode": "numeric", "autocomplete": "off"}
        super().__init__(label=label, required=False, widget=forms.TextInput(attrs=attrs), **more)
        self.validators = []

    def clean(self, value: Any) -> int:
        """The number."""
        text = "" if value is None else str(value).strip()
        if not text:
            return 1
        if not re.fullmatch(r"0*[1-9][0-9]{0,5}", text, re.ASCII):
            raise forms.ValidationError("Write how many there are as a whole number from 1 to 999999.")
        return int(text)


class Dated:
    """What a day must not lie after; the form sets it from the zone of its yard."""

    today: date = date.max


class DayBox(Dated, forms.CharField):
    """One day, picked or typed; gives ISO text, empty where not known. `ahead`: it may not have come yet."""

    ahead = False

    def __init__(self, *, label: str, **more: Any) -> None:
        super().__init__(label=label, required=False, widget=forms.DateInput(attrs={"type": "date"}), **more)
        self.validators = []

    def clean(self, value: Any) -> str:
        """The day."""
        text = "" if value is None else str(value).strip()
        if not text:
            return ""
        try:
            day = date.fromisoformat(text) if PLAIN_DAY.fullmatch(text) else None
        except ValueError:
            day = None
        if day is None:
            raise forms.ValidationError("This is no day of the calendar; write it as 2026-03-07.")
        if day > self.today and not self.ahead:
            raise forms.ValidationError(f"This day has not come yet (today is {day_words(self.today)}); mend the day.")
        return text


class AheadBox(DayBox):
    """One day that may lie ahead, such as the last one of something granted."""

    ahead = True


class YearBox(Dated, forms.CharField):
    """A year, or a month or day as `1968-05` or `1968-05-01`; gives its text, empty where not known.

    `spans`: `1970/1985`, `/1985`, `1970/` and `~1975` may stand there too.
    """

    def __init__(self, *, label: str, spans: bool = False, **more: Any) -> None:
        self.spans = spans
        attrs = {"inputmode": "text" if spans else "numeric", "autocomplete": "off", "placeholder": ""}
        super().__init__(label=label, required=False, widget=forms.TextInput(attrs=attrs), **more)
        self.validators = []

    def clean(self, value: Any) -> str:
        """The year, month, day or span."""
        text = "" if value is None else str(value).strip()
        if not text:
            return ""
        marks = not self.spans and ("/" in text or "~" in text)
        try:
            parse_span(text)
        except ValueError as wrong:
            raise forms.ValidationError(self._says(text, str(wrong))) from None
        if marks:
            raise forms.ValidationError(self._says(text, ""))
        if any(day > self.today for day in written_days(text)):
            raise forms.ValidationError(f"This has not come yet (today is {day_words(self.today)}); mend the year.")
        return text

    def _says(self, text: str, wrong: str) -> str:
        if text.isascii() and text.isdigit() and len(text) < YEAR_WIDTH:
            return "Write all four digits of the year, such as 1968."
        if wrong == "it ends before it begins":
            return "This span ends before it begins; write the earlier year first, such as 1970/1985."
        more = ", or 1970/1985 for a span and ~1975 for about" if self.spans else ""
        return f"This is no year; write it as 1968, or 1968-05 with its month{more}."


class MomentBox(forms.CharField):
    """A day with its time, in the zone of the yard; gives a datetime without a zone, None where the box is empty."""

    def __init__(self, *, label: str, **more: Any) -> None:
        widget = forms.DateTimeInput(attrs={"type": "datetime-local"})
        super().__init__(label=label, required=False, widget=widget, **more)
        self.validators = []

    def clean(self, value: Any) -> Any:
        """The moment."""
        text = "" if value is None else str(value).strip()
        if not text:
            return None
        try:
            if MOMENT.fullmatch(text):
                return datetime.fromisoformat(text)
        except ValueError:
            pass
        raise forms.ValidationError("This is no day and time; write it as 2026-11-25 14:30.")


def span_text(how: str, first: str, second: str) -> str:
    """A span as a register writes it, from how it is meant and one or two years; empty where it is not known."""
    return {
        "in": first, "about": f"~{first}", "before": f"/{first}", "after": f"{first}/", "between": f"{first}/{second}",
    }.get(how, "")  # fmt: skip


def span_parts(text: str) -> tuple[str, str, str]:
    """The other way round: how it is meant, first year, second year."""
    if not text:
        return "unknown", "", ""
    if text.startswith("~"):
        return "about", text[1:], ""
    first, slash, second = text.partition("/")
    if not slash:
        return "in", first, ""
    if first and second:
        return "between", first, second
    return ("after", first, "") if first else ("before", second, "")


PLACES = tuple((code, called(code)) for code in sorted(NAMES, key=lambda code: NAMES[code].replace("Å", "A")))


class PlaceBox(forms.CharField):
    """A country by its two letters, perhaps with its part (`AU-VIC`)."""

    def __init__(self, *, label: str, **more: Any) -> None:
        widget = forms.Select(attrs={"data-countries": ""}, choices=[("", "Don't know"), *PLACES])
        super().__init__(label=label, required=False, widget=widget, **more)
        self.validators = []

    def offer(self, value: Any) -> None:
        """Let the list hold this value, too."""
        code = str(value or "")
        if code and code not in COUNTRIES:
            self.widget.choices = [*self.widget.choices, (code, called(code))]

    def clean(self, value: Any) -> str:
        """The code."""
        text = "" if value is None else str(value).strip().upper()
        if text and (not COUNTRY.fullmatch(text) or text[:2] not in COUNTRIES):
            raise forms.ValidationError("No country has these two letters; choose it from the list.")
        return text


class Pick(forms.ChoiceField):
    """One of a few words, the first of which is the don't-know that stands where nothing was picked."""

    def __init__(self, *, label: str, choices: Any, **more: Any) -> None:
        more.setdefault("widget", forms.RadioSelect)
        choices = list(choices)
        more.setdefault("initial", choices[0][0])
        super().__init__(label=label, choices=choices, required=False, **more)

    def clean(self, value: Any) -> str:
        """The word; nothing picked is the don't-know."""
        if value in self.empty_values:
            return str(self.initial)
        if not self.valid_value(value):
            raise forms.ValidationError("This is none of the answers; pick one of them.")
        return str(value)


class Ticks(forms.MultipleChoiceField):
    """Any of a few words, none of them being a don't-know."""

    def __init__(self, *, label: str, choices: Any, **more: Any) -> None:
        self.offered = list(choices)
        super().__init__(label=label, choices=self.offered, required=False, widget=forms.CheckboxSelectMultiple, **more)

    def clean(self, value: Any) -> Any:
        """The words that were ticked, each once, in the order in which they are offered."""
        given = [one for one in ([value] if isinstance(value, str) else value or ()) if one]
        if not all(self.valid_value(one) for one in given):
            raise forms.ValidationError("This is none of the answers; tick those that hold.")
        return [word for word, _ in self.offered if word in given]


class ManyFiles(forms.FileInput):
    """Several files at once."""

    allow_multiple_selected = True


class Pictures(forms.FileField):
    """Several pictures, which are looked into elsewhere."""

    def __init__(self, *, label: str, **more: Any) -> None:
        widget = ManyFiles(attrs={"accept": "image/*", "multiple": True})
        super().__init__(label=label, required=False, widget=widget, **more)

    def clean(self, data: Any, initial: Any = None) -> Any:
        """The files that came."""
        given = data if isinstance(data, (list, tuple)) else [data] if data else []
        return [one for one in given if isinstance(one, UploadedFile)]
