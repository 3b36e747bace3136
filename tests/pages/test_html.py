"""HTML pages: whole and valid, one file that fetches and runs nothing, with whatever was typed shown as typed."""

import re
from itertools import pairwise

import pytest

from leakdx.clean import clean
from tests.hostile import ALL
from tests.pages.made import CASES, HOSTILE, ODD, READERS, html, tree

PAGES = [(reader, name) for reader in READERS for name in (CASES[1], *ODD)]
ADDRESSES = ("src", "href", "{http://www.w3.org/1999/xlink}href", "action", "srcset", "poster", "data", "formaction")
INERT = {"html", "head", "meta", "title", "style", "body", "main", "footer", "h1", "h2", "h3", "p", "div", "span", "ul",
         "li", "dl", "dt", "dd", "strong", "em", "table", "caption", "thead", "tbody", "tr", "th", "td", "hr", "figure",
         "figcaption", "img",
         "svg", "g", "path", "polygon", "polyline", "ellipse", "circle", "rect", "line", "text"}  # fmt: skip


@pytest.mark.parametrize(("reader", "name"), PAGES)
def test_it_is_valid_and_nothing_in_it_runs_or_is_fetched(reader: str, name: str) -> None:
    ids = []
    for node in tree(reader, name).iter():
        if not isinstance(node.tag, str):  # a comment
            continue
        assert node.tag.rpartition("}")[2] in INERT
        for attribute, value in node.attrib.items():
            assert not attribute.lower().startswith("on"), attribute
            assert attribute not in ADDRESSES or value.startswith("data:image/jpeg;base64,"), value
            assert attribute != "style", "the policy lets no style stand on an element"
            ids += [value] if attribute == "id" else []
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("reader", READERS)
def test_the_policy_lets_nothing_in_but_its_own_style(reader: str) -> None:
    meta = tree(reader, CASES[0]).find("head/meta[@http-equiv]")
    assert meta is not None
    policy = meta.attrib["content"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy
    assert "http" not in re.sub(r"http://www\.w3\.org/\S+", "", html(reader, CASES[0]).replace("http-equiv", ""))


@pytest.mark.parametrize("reader", READERS)
def test_what_was_typed_is_shown_as_typed(reader: str) -> None:
    title = tree(reader, HOSTILE).find("body/main/h1")
    assert title is not None
    assert clean(ALL) in "".join(title.itertext())


@pytest.mark.parametrize(("reader", "name"), PAGES)
def test_headings_go_down_step_by_step(reader: str, name: str) -> None:
    levels = [int(node.tag[1]) for node in tree(reader, name).iter() if re.fullmatch(r"h\d", str(node.tag))]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
