"""Draw the four pictures of README from a running demo: `python -m tests.browser.pictures LINK TAG LOAD`.

LINK is the sign-in link that `manage.py demo --person manager` prints, TAG a unit and LOAD a load of its first yard.
The pictures go to fixtures/pictures: the pages of both on a phone, and the first side of the sheet printed for each.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image

from tests.browser.conftest import browser
from tests.conftest import ROOT

PLACE = ROOT / "fixtures" / "pictures"
WIDTH, HEIGHT, SHEET_WIDTH, TONES = 360, 1000, 720, 32
"""Pixels of the phone and of the sheet, and tones of a picture. Source: our own choice."""


def draw(link: str, tag: str, load: str) -> None:
    """Sign in by the link, and draw the pages of the unit and of the load with their sheets."""
    PLACE.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as name, browser() as chromium:
        scratch = Path(name)
        page = chromium.new_page(viewport={"width": WIDTH, "height": HEIGHT})
        page.goto(link)
        page.locator("main button").click()
        yard = page.url
        for address, button, screen, sheet in (
            (f"units/{tag}/", "Print the site sheet", "unit", "site_sheet"),
            (f"loads/{load}/", "Print its hand-over sheet", "load", "hand_over_sheet"),
        ):
            page.goto(f"{yard}{address}")
            page.screenshot(path=scratch / f"{screen}.png")
            page.get_by_role("button", name=button).first.click()
            (scratch / "sheet.pdf").write_bytes(page.request.get(f"{page.url}pdf/").body())
            size = ("-scale-to-x", str(SHEET_WIDTH), "-scale-to-y", "-1")
            subprocess.run(
                ["pdftoppm", "-png", "-singlefile", *size, scratch / "sheet.pdf", scratch / sheet], check=True
            )
            for one in (screen, sheet):
                Image.open(scratch / f"{one}.png").convert("RGB").quantize(TONES).save(
                    PLACE / f"{one}.png", optimize=True
                )


if __name__ == "__main__":
    draw(*sys.argv[1:])
