"""HTML pages in a browser, on a phone in the dark, a tablet, on paper: nothing shuts anybody out, nothing is cut off.

Needs Chromium; where there is none these tests are skipped, unless LEAKDX_BROWSER=needed says that there must be one.
"""

import io
import os
import shutil
from collections.abc import Iterator
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any, NamedTuple

import pypdf
import pytest
from playwright.sync_api import Browser, Dialog, Page, sync_playwright

from leakdx.pages.html import html_page
from leakdx.pages.wall import wall_page
from tests.pages.made import CASES, HOSTILE, READERS, html
from tests.shipped import knowledge

PROGRAMS = ("chromium", "chromium-browser", "google-chrome")
MISSING = "there is no Chromium to open pages in; install it, on Debian with 'apt-get install chromium'"
WALL = "wall"


@cache
def axe() -> str:
    """The script of axe-core. Its package reads it in the letters of the machine at import, which may be ASCII."""
    spec = find_spec("axe_playwright_python")
    assert spec is not None
    assert spec.origin is not None
    return (Path(spec.origin).parent / "axe.min.js").read_text("utf-8")


class Look(NamedTuple):
    """How a page is looked at."""

    wide: int
    high: int
    scheme: Any
    media: Any = "screen"


LOOKS = {"phone in the dark": Look(360, 740, "dark"), "tablet": Look(820, 1180, "light"),
         "paper": Look(720, 1000, "light", "print")}  # fmt: skip


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    program = next((found for name in PROGRAMS if (found := shutil.which(name))), None)
    if program is None:
        (pytest.fail if os.environ.get("LEAKDX_BROWSER") == "needed" else pytest.skip)(MISSING)
    with sync_playwright() as engine:
        opened = engine.chromium.launch(executable_path=program, args=["--no-sandbox", "--disable-gpu"])
        yield opened
        opened.close()


class Seen(NamedTuple):
    """A page as it is looked at, what it asked for, and what it complained of."""

    page: Page
    asked: list[str]
    complaints: list[str]


def opened(browser: Browser, file: Path) -> Seen:
    page = browser.new_page()
    seen = Seen(page, [], [])

    def dismiss(dialog: Dialog) -> None:
        seen.complaints.append(dialog.message)
        dialog.dismiss()

    page.on("request", lambda request: seen.asked.append(request.url))
    page.on("console", lambda message: seen.complaints.append(message.text))
    page.on("dialog", dismiss)
    page.goto(file.as_uri())
    return seen


def serious(page: Page) -> dict[str, list[str]]:
    """Each finding that would shut somebody out, with the first places of it."""
    page.evaluate(axe())
    found = page.evaluate("axe.run({resultTypes: ['violations']})")["violations"]
    grave = [one for one in found if one["impact"] in ("serious", "critical")]
    return {one["id"]: [node["html"][:120] for node in one["nodes"][:3]] for one in grave}


@pytest.mark.parametrize("reader", [*READERS, WALL])
def test_no_serious_finding_and_nothing_cut_off_at_any_size(reader: str, browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    made = html_page(wall_page(knowledge(), None)).decode() if reader == WALL else html(reader, HOSTILE)
    file.write_text(made, encoding="utf-8")
    seen = opened(browser, file)
    for name, look in LOOKS.items():
        seen.page.set_viewport_size({"width": look.wide, "height": look.high})
        seen.page.emulate_media(media=look.media, color_scheme=look.scheme)
        wide = seen.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= look.wide, f"{name}: the page is wider than the screen"
        assert serious(seen.page) == {}, name
    assert seen.asked == [file.as_uri()]
    assert seen.complaints == []
    seen.page.close()


def test_the_look_at_it_would_find_what_is_wrong(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "bad.html"
    file.write_text("<html><body style='color:#999;background:#fff'><p>pale<img src='x.png'><script>alert(1)</script>",
                    encoding="utf-8")  # fmt: skip
    seen = opened(browser, file)
    assert {"color-contrast", "image-alt", "html-has-lang"} <= set(serious(seen.page))
    assert len(seen.asked) == 2
    assert "1" in seen.complaints
    seen.page.close()


def test_the_measuring_sheet_is_one_sheet_when_a_browser_prints_it(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "job.html"
    file.write_text(html("job", CASES[1]), encoding="utf-8")
    seen = opened(browser, file)
    for paper in ("Letter", "A4"):
        printed = pypdf.PdfReader(io.BytesIO(seen.page.pdf(format=paper))).pages[-1].extract_text()
        assert "Measuring sheet" in printed
        assert "The axle maker's current service manual" in printed
    seen.page.close()
