"""How pages look: contrast by the published formula, and nothing that runs off the paper."""

import re
from importlib.resources import files
from itertools import product

import pypdfium2
import pytest

from tests.pages.made import CASES, LONG, READERS, pdf

STYLE = (files("leakdx.pages") / "templates" / "page.css").read_text("utf-8")
TEXT, SIGN = 4.5, 3.0
"""Least contrast of text, and of what is no text, by WCAG 2.2, 1.4.3 and 1.4.11 (W3C, level AA)."""
MARGIN_MM, INCH_MM = 6.0, 25.4
WHITE = 250


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """From 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_published_ends_and_middle() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


def palettes() -> list[dict[str, str]]:
    """The colours of light, dark and print."""
    found = [dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", rule)) for rule in re.findall(r":root \{[^}]*\}", STYLE)]
    return [palette for palette in found if palette]


def test_text_and_lines_stand_out_from_what_they_stand_on() -> None:
    assert len(palettes()) == 3
    for palette, ink, ground in product(palettes(), ("ink", "soft"), ("paper", "shade")):
        assert contrast(palette[ink], palette[ground]) >= TEXT, (palette, ink, ground)
    for palette in palettes():
        assert contrast(palette["line"], palette["paper"]) >= SIGN


def test_notices_stand_out_in_each_tone() -> None:
    tones = re.findall(r"\.notice\.(\w+) \{ background: (#\w{6}); color: (#\w{6})", STYLE)
    assert {tone for tone, *_ in tones} == {"stop", "watch", "go"}
    for _, ground, ink in tones:
        assert contrast(ink, ground) >= TEXT


@pytest.mark.parametrize(("reader", "name"), [(reader, name) for reader in READERS for name in (CASES[1], LONG)])
def test_nothing_runs_off_the_paper(reader: str, name: str) -> None:
    for page in pypdfium2.PdfDocument(pdf(reader, name)):
        image = page.render(scale=0.5).to_pil().convert("L")
        edge = round(MARGIN_MM / INCH_MM * 72 * 0.5)
        ink = image.point(lambda shade: 255 if shade < WHITE else 0).getbbox()
        assert ink is not None
        left, top, right, bottom = ink
        assert min(left, top, image.width - right, image.height - bottom) >= edge
