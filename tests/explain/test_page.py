"""Lines within a width, whatever comes in."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.explain.page import Page
from leakdx.explain.plain import plain_words
from leakdx.explain.tree import Branch, pruned, tree_text

TEXTS = st.text(max_size=300)
CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


@given(TEXTS, st.integers(10, 120))
def test_no_line_is_wider_than_the_page_and_none_steers_the_terminal(text: str, width: int) -> None:
    page = Page(width)
    page.title(text)
    page.head(text, text)
    page.say(text, "Against", 4, 11)
    page.figure(text, "99 %", "For", 2, 11)
    page.bullets([text, text])
    made = page.text()
    assert max(map(len, made.split("\n"))) <= max(width, 40)
    assert not CONTROL.search(made)


@given(st.lists(st.sampled_from(["5 min", "0.005 in", "entry 3", "92 %", "word", "another"]), min_size=1, max_size=40))
def test_a_number_stays_with_its_unit(words: list[str]) -> None:
    page = Page(40)
    page.say(" ".join(words))
    assert not re.search(r"\bentry\n|\d\n\s*(min|in|%)", page.text())


def test_a_label_has_its_text_beside_it_and_lines_hang_under_the_text() -> None:
    page = Page(40)
    page.say("one two three four five six seven eight nine ten", "For", 2, 8)
    first, second, *_ = page.text().splitlines()
    assert first.startswith("  For     one two")
    assert second.startswith(" " * 10)
    assert second[10] != " "


def test_a_figure_stands_at_the_right_end_of_the_first_line() -> None:
    page = Page(40)
    page.figure("a line that is long enough to be wrapped once", "+8.1 dB")
    first, second = page.text().splitlines()
    assert first.endswith("+8.1 dB")
    assert len(first) == 40
    assert "dB" not in second


BRANCHES = st.recursive(
    st.builds(Branch, TEXTS),
    lambda inner: st.builds(Branch, TEXTS, st.lists(inner, max_size=3).map(tuple)),
    max_leaves=8,
)


@given(BRANCHES, st.integers(60, 120))
def test_a_tree_keeps_to_its_width(branch: Branch, width: int) -> None:
    made = tree_text(branch, width)
    assert max(map(len, made.split("\n"))) <= width
    assert not CONTROL.search(made)


def test_a_tree_is_drawn_with_plain_characters() -> None:
    tree = Branch("top", (Branch("one", (Branch("deep", (), "+1 dB"),)), Branch("two")))
    assert tree_text(tree, 24) == "top\n|- one\n|  `- deep         +1 dB\n`- two\n"
    assert tree_text(pruned(tree, 1), 24) == "top\n|- one\n`- two\n"


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Carrier face and carrier", "Sealing surface and gear unit"),
        ("the carriers", "the carriers"),
        ("CARRIER", "Gear unit"),
        ("carrier\x1b[1m", "gear unit[1m"),
    ],
)
def test_words_of_the_trade_give_way_the_longest_first(text: str, plain: str) -> None:
    assert plain_words({"carrier": "gear unit", "carrier face": "sealing surface"}, text) == plain


def test_without_a_table_the_text_stays() -> None:
    assert plain_words({}, "carrier") == "carrier"
