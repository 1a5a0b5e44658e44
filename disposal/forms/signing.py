"""Signing for a load: ink on paper with a photograph of it, a drawing, or a typed name with a tick."""

import io
import re
from base64 import b64decode
from binascii import Error
from typing import Any

from django import forms
from PIL import Image

from disposal.core.loadnow import INKS, Party
from disposal.forms.needed import Needed
from hazmat.book import files
from hazmat.edge.pictures import BadPicture, read_picture
from hazmat.forms.fields import Pictures, Words
from hazmat.forms.timed import Timed

DRAWING = re.compile(r"data:image/png;base64,([A-Za-z0-9+/=]+)", re.ASCII)
LONGEST = 2_000_000
"""Characters of a drawing that are looked into. Source: our own choice, many times what a signature takes."""
DARK = 128
"""Of 255 grey steps: a drawing without a pixel as dark is empty. Source: our own choice, half way to black."""
REDRAW = "The drawing did not come whole; draw the name once more, or take a typed name instead."


class SignForm(Timed):
    """Who signs, and how."""

    field_order = ("name", "vehicle", "inked", "pictures", "drawing", "tick", "when")
    name = Needed(
        label="Name of whoever signs", most=120,
        says="Write the name of whoever signs.",
    )  # fmt: skip
    vehicle = Words(label="Plate of the vehicle", most=40)
    inked = forms.ChoiceField(
        label="How do they sign?", widget=forms.RadioSelect,
        choices=[(word, f"{says[0].upper()}{says[1:]}") for word, says in INKS.items()],
        error_messages={"required": "Pick how they sign.", "invalid_choice": "This is none of the three; pick one."},
    )  # fmt: skip
    pictures = Pictures(label="Photograph of the signed sheet", help_text="For ink on the printed sheet.")
    drawing = forms.CharField(required=False, widget=forms.HiddenInput, max_length=LONGEST, strip=True)
    tick = forms.BooleanField(label="I sign this list with my name.", required=False)

    def __init__(self, *args: Any, party: Party, waiting: str = "", **kwargs: Any) -> None:
        """`waiting`: the SHA-256 of a photograph that came with this form, or came before, empty where none did."""
        super().__init__(*args, **kwargs)
        self.waiting = waiting
        if party != "carrier":
            del self.fields["vehicle"]

    def clean(self) -> dict[str, Any]:
        """Each kind has what it needs."""
        found = super().clean() or {}
        inked = found.get("inked")
        self.file = ""
        if inked == "ink":
            self.file = self.waiting
            if not self.file:
                self.add_error("pictures", "Add a photograph of the signed sheet, or sign in another way.")
        if inked == "drawn":
            try:
                self.file = drawn(found.get("drawing") or "")
            except BadPicture as bad:
                self.add_error("inked", str(bad))
        if inked == "typed" and not found.get("tick"):
            self.add_error("tick", "Tick this box: with the name above it is the signature.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        return {
            "inked": found["inked"], "name": found["name"], "vehicle": found.get("vehicle", ""), "file": self.file,
        }  # fmt: skip


def drawn(sent: str) -> str:
    """Keep a drawing that a page sent; the SHA-256 of its picture. Raises BadPicture with a sentence."""
    if not sent:
        raise BadPicture("Nothing was drawn; draw the name in the box, or take a typed name instead.")
    found = DRAWING.fullmatch(sent)
    if not found:
        raise BadPicture(REDRAW)
    try:
        picture = read_picture(b64decode(found[1], validate=True))
    except (BadPicture, Error):
        raise BadPicture(REDRAW) from None
    with Image.open(io.BytesIO(picture.full)) as image:
        dark = sum(image.convert("L").histogram()[:DARK])
    if not dark:
        raise BadPicture("Nothing was drawn; draw the name in the box, or take a typed name instead.")
    return files.keep(picture.full)
