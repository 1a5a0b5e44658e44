"""From a payload to PDF/A-3a: tagged, with its data inside, reaching for nothing outside of itself."""

import base64
import functools
import io
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from html import escape
from typing import Any

import segno
from django.template.loader import render_to_string
from PIL import Image

from hazmat.book.canonical import canonical
from hazmat.core.codes import spaced
from hazmat.papers.marks import CARE, ring_image

VARIANT = "pdf/a-3a"
FIXED = datetime(2026, 1, 1, tzinfo=UTC)
"""The day written on the attachment, so that the same payload gives the same bytes. Source: our own choice."""
QR_SCALE, QR_BORDER = 8, 4
"""Pixels of a module, and the quiet zone in modules (ISO/IEC 18004, 9.1: four)."""
TOLD = "data-total"
"""Where the page of a paper stands that is told how many it has."""
APT = "sudo apt-get install -y libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"


PEOPLE = (
    ("owner", "Owner"), ("owner_phone", "Owner's telephone"), ("consent", "Consent"), ("access", "Access"),
    ("seller", "Seller"),
)  # fmt: skip
"""Personal words of a sheet's table, and their names."""


class CannotPrint(Exception):
    """This machine lacks what a PDF needs: one sentence with what to install."""


@functools.cache
def _printer() -> Any:
    """The printing library, loaded when it is first needed. Raises CannotPrint."""
    try:
        import weasyprint
    except (OSError, ImportError):
        raise CannotPrint(f"No paper can be printed on this machine yet; run: {APT}") from None
    return weasyprint


@functools.cache
def _fonts() -> Any:
    """One set of fonts a process: it must not be shared between threads."""
    _printer()
    from weasyprint.text.fonts import FontConfiguration

    return FontConfiguration()


@functools.cache
def _fetcher() -> Any:
    """Fetches nothing but data that stands in the page itself."""
    _printer()
    from weasyprint.urls import URLFetcher

    return URLFetcher(allowed_protocols={"data"})


@functools.cache
def _style(kind: str, size: str) -> Any:
    """The stylesheet of a kind of paper on one size of sheet, read once a process: no word of any paper is in it."""
    css = render_to_string(f"papers/{kind}.css", {"size": size})
    return _printer().CSS(string=css, url_fetcher=_fetcher(), font_config=_fonts())


def qr_text(number: str, code: str) -> str:
    """What the code of a paper says: `OW1:<number>:<check code>`."""
    return f"OW1:{number}:{code}"


def _qr(number: str, code: str) -> str:
    """The code of a paper as a grey picture: in colour it would be three times the work to print."""
    made = segno.make(qr_text(number, code), error="m", micro=False)
    rows = [bytes(0 if dark else 255 for dark in row) for row in made.matrix_iter(border=QR_BORDER)]
    small = Image.frombytes("L", (len(rows[0]), len(rows)), b"".join(rows))
    out = io.BytesIO()
    small.resize((small.width * QR_SCALE, small.height * QR_SCALE), Image.Resampling.NEAREST).save(out, "PNG")
    return f"data:image/png;base64,{base64.b64encode(out.getvalue()).decode()}"


def html(payload: Mapping[str, Any], aside: Mapping[str, str], code: str, total: int = 1) -> str:
    """The words of the paper as HTML, each escaped; `total`: how many pages it says that it has."""
    told = {
        "paper": payload, "aside": aside, "total": total, "code": spaced(code), "tag": spaced(payload.get("tag", "")),
        "qr": _qr(payload["number"], code), "ring": _ring(payload), "qr_text": qr_text(payload["number"], code),
        "pairs": _pairs(payload.get("facts", []), aside),
    }  # fmt: skip
    return render_to_string(f"papers/{payload['paper']}.html", told)


def _ring(payload: Mapping[str, Any]) -> dict[str, str]:
    """The ring of a paper: of the safety band, else of the care of hands; none where a paper is of many things."""
    solid = payload.get("basis") == "established"
    if "band" in payload:
        return ring_image(payload["band"], solid)
    return ring_image(payload["care"], solid, CARE) if "care" in payload else {}


def _pairs(facts: list[dict[str, str]], aside: Mapping[str, str]) -> list[list[dict[str, str]]]:
    """Facts two by two, as they stand in the table of a sheet, those of people last."""
    told = [*facts, *({"name": name, "value": aside[key], "source": ""} for key, name in PEOPLE if aside.get(key))]
    if len(told) % 2:
        told.append({"name": "", "value": "", "source": ""})
    return [told[place : place + 2] for place in range(0, len(told), 2)]


def pdf(payload: Mapping[str, Any], aside: Mapping[str, str], code: str) -> bytes:
    """The paper as PDF/A-3a with its payload inside; the same payload gives the same bytes. Raises CannotPrint."""
    printer = _printer()
    data = printer.Attachment(
        string=canonical(payload), name=f"{payload['paper']}-{payload['number']}.json", created=FIXED, modified=FIXED,
        relationship="Data", description="Every word of this paper as data, without personal words",
        url_fetcher=_fetcher(),
    )  # fmt: skip
    document = laid_out(payload, aside, code)
    document.metadata.attachments.append(data)
    found: bytes = document.write_pdf(pdf_variant=VARIANT, pdf_tags=True)
    return found


def laid_out(payload: Mapping[str, Any], aside: Mapping[str, str], code: str) -> Any:
    """The paper laid out, with its `pages`; each says of how many. Raises CannotPrint.

    A paper that is one page as a rule is told how many it has, and laid out again where there are more. One that is
    many as a rule lets the printer count, which costs a fifth more, once.
    """
    style = _style(payload["paper"], payload["size"])
    page = html(payload, aside, code)
    document = _laid_out(page, style)
    if len(document.pages) > 1 and TOLD in page:
        document = _laid_out(html(payload, aside, code, len(document.pages)), style)
    return document


def _laid_out(page: str, style: Any) -> Any:
    """A page laid out once: asking the printer for the number of pages would lay it out twice."""
    printed = _printer().HTML(string=page, url_fetcher=_fetcher())
    return printed.render(stylesheets=[style], font_config=_fonts(), pdf_variant=VARIANT, pdf_tags=True)


def plain(words: Iterable[str], pages: int) -> bytes:
    """The same words on as many pages as bare paragraphs, tagged and conforming alike: a floor of the bench."""
    told = list(words)
    share = -(-len(told) // pages)
    parts = ["".join(f"<p>{escape(one)}</p>" for one in told[place * share :][:share]) for place in range(pages)]
    page = f'<html lang="en"><title>x</title><body>{"<div style=break-before:page></div>".join(parts)}</body></html>'
    printed = _printer().HTML(string=page, url_fetcher=_fetcher())
    found: bytes = printed.write_pdf(font_config=_fonts(), pdf_variant=VARIANT, pdf_tags=True)
    return found


def minimal() -> bytes:
    """The smallest page that the same printer makes: the floor of the bench."""
    page = _printer().HTML(string="<p>x</p>", url_fetcher=_fetcher())
    found: bytes = page.write_pdf(font_config=_fonts())
    return found
