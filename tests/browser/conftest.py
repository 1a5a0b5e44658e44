"""One Chromium for all tests of pages, and the rules of accessibility as axe knows them."""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import axe_playwright_python
import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
NAMES = ("chromium", "chromium-browser", "google-chrome")


@contextmanager
def browser() -> Iterator[Browser]:
    """The browser of this machine. Raises LookupError where there is none."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    if found is None:
        raise LookupError("no Chromium is installed: sudo apt-get install -y chromium")
    words = ["--no-sandbox"] if os.geteuid() == 0 else []
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=found, args=words)
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The browser of this machine."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    try:
        with browser() as opened:
            yield opened
    except LookupError as missing:
        pytest.skip(str(missing))
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


Opened = Callable[..., Page]


@pytest.fixture
def opened(chromium: Browser) -> Iterator[Opened]:
    """Open a page in a window of its own: `opened(address, width=360, scheme="dark", cookies=…)`.

    `answer`: what Django's own client got, shown at this address with its policy in place of asking the server: for
    pages that come with a refusal, which a browser would report on its console. A page that reports an error on its
    console, or asks another machine for anything, fails the test.
    """
    contexts: list[BrowserContext] = []
    wrong: list[str] = []

    def open_page(
        address: str, width: int = 360, scheme: str = "light", cookies: Any = None, script: bool = True,
        answer: Any = None,
    ) -> Page:  # fmt: skip
        context = chromium.new_context(
            viewport={"width": width, "height": 800}, color_scheme=scheme, java_script_enabled=script,  # type: ignore[arg-type]
            reduced_motion="reduce", has_touch=width < 600,
        )  # fmt: skip
        contexts.append(context)
        if cookies:
            context.add_cookies(cookies)
        page = context.new_page()
        page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: wrong.append(str(error)))
        home = address.partition("//")[2].partition("/")[0]
        page.on(
            "request",
            lambda asked: (
                wrong.append(f"asked {asked.url}")
                if not asked.url.startswith("data:") and asked.url.partition("//")[2].partition("/")[0] != home
                else None
            ),
        )
        if answer is not None:
            kept = {name: answer[name] for name in ("Content-Type", "Content-Security-Policy")}
            page.route(address, lambda route: route.fulfill(status=200, headers=kept, body=answer.content.decode()))
        page.goto(address)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert wrong == []


WHOLE = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
CONTRAST = ("color-contrast", "link-in-text-block")
"""The rules that colours decide."""


def violations(page: Page, rules: tuple[str, ...] = WHOLE) -> list[str]:
    """What axe finds on a page: rule and the first element."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE)
    found = page.evaluate(
        "rules => axe.run(document, {runOnly: rules})"
        ".then(r => r.violations.map(v => v.id + ': ' + v.nodes[0].html.slice(0, 120)))",
        list(rules),
    )
    return list(found)


SMALL = """() => [...document.querySelectorAll('a, button, input, select, textarea, summary')]
  .filter(e => e.offsetParent !== null && e.type !== 'hidden' && !e.classList.contains('skip'))
  .map(e => { const hit = e.closest('label') || e; const r = hit.getBoundingClientRect();
              const inline = getComputedStyle(e).display === 'inline' && e.tagName === 'A';
              return [e.outerHTML.slice(0, 80), r.height, inline] })
  .filter(([, height, inline]) => !inline && height > 0 && height < 48)"""


def small_controls(page: Page) -> list[Any]:
    """Controls less than 48 px high; links inside a sentence are words, not controls."""
    return list(page.evaluate(SMALL))


def overflow(page: Page) -> int:
    """By how many pixels the page is wider than its window."""
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


EVERYWHERE = ((360, "light", WHOLE), (360, "dark", CONTRAST), (1280, "dark", WHOLE), (1280, "light", CONTRAST))
"""A phone and a desk, both schemes, and what axe looks for there: all of it on each width and in each scheme."""


def fit(page: Page, name: object = "", rules: tuple[str, ...] = WHOLE) -> None:
    """Fit for everybody: rules of accessibility, width, height of what is tapped."""
    assert violations(page, rules) == [], name
    assert overflow(page) <= 0, name
    assert small_controls(page) == [], name


def fit_everywhere(page: Page, name: object = "") -> None:
    """The same page on a phone and at a desk, in both schemes, loaded once."""
    for width, scheme, rules in EVERYWHERE:
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")  # type: ignore[arg-type]
        fit(page, (name, width, scheme), rules)
