"""What the tests of pages do again and again: fill in a form and read what comes back."""

import io
import re
from html import unescape
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from tests.cast import Cast


def jpeg(colour: str = "gray") -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", (64, 48), colour).save(out, "JPEG")
    return SimpleUploadedFile("plate.jpg", out.getvalue(), "image/jpeg")


def at(cast: Cast, name: str, **words: Any) -> str:
    return reverse(name, kwargs={"yard": cast.yard, **words})


def token(page: str) -> str:
    """The token of the form on a page."""
    found = re.search(r'name="act"[^>]*value="([^"]+)"', page) or re.search(r'value="([^"]+)"[^>]*name="act"', page)
    assert found, "the page has no form with a token"
    return unescape(found[1])


def the_look(client: Client, cast: Cast, **more: Any) -> dict[str, Any]:
    page = client.get(at(cast, "look")).content.decode()
    return {"act": token(page), "kind": "transformer", "arrival": "found", **more}
