"""Draw the two pictures of README from a running demo: `python -m tests.browser.pictures LINK TAG`.

LINK is the sign-in link that `manage.py demo` prints, TAG a unit of its first yard. The pictures go to
fixtures/pictures: the page of the unit on a phone, and the first side of the site sheet that is printed for it.
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


def draw(link: str, tag: str) -> None:
    """Sign in by the link, and draw the page of the unit and its sheet."""
    PLACE.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as name, browser() as chromium:
        scratch = Path(name)
        page = chromium.new_page(viewport={"width": WIDTH, "height": HEIGHT})
        page.goto(link)
        page.locator("main button").click()
        page.goto(f"{page.url}units/{tag}/")
        page.screenshot(path=scratch / "unit.png")
        page.get_by_role("button", name="Print the site sheet").first.click()
        (scratch / "sheet.pdf").write_bytes(page.request.get(f"{page.url}pdf/").body())
        size = ("-scale-to-x", str(SHEET_WIDTH), "-scale-to-y", "-1")
        drawn = ["pdftoppm", "-png", "-singlefile", *size, scratch / "sheet.pdf", scratch / "site_sheet"]
        subprocess.run(drawn, check=True)
        for one in ("unit.png", "site_sheet.png"):
            Image.open(scratch / one).convert("RGB").quantize(TONES).save(PLACE / one, optimize=True)


if __name__ == "__main__":
    draw(*sys.argv[1:])
