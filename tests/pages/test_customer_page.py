"""The customer's page: plain words, every way to go on with its cost, and room for an answer."""

import pytest

from leakdx.explain.options import customer_options, if_nothing_is_done
from leakdx.pages.customer import DEFERS, WATCH, customer_page
from leakdx.pages.document import Beside, Blanks, Block, Notice, Points, Say, Table
from leakdx.reasoning.diagnosis import diagnose
from tests.explain.test_customer import BLAME, CERTAIN, TRADE, trade_words, worked
from tests.pages.made import texts_of
from tests.shipped import NAMES, diagnosis, knowledge, stopped


def blocks(name: str) -> list[Block]:
    page = customer_page(diagnosis(name))
    return [each for block in page.blocks for each in (block.left if isinstance(block, Beside) else (block,))]


def table(name: str) -> Table | None:
    return next((block for block in blocks(name) if isinstance(block, Table)), None)


@pytest.mark.parametrize("name", NAMES)
def test_no_word_of_the_trade_no_blame_and_no_certainty(name: str) -> None:
    said = " ".join(text for block in blocks(name) for text in texts_of(block))
    assert trade_words(said, (*TRADE, *BLAME, *CERTAIN)) == []
    assert trade_words(DEFERS) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_first_thing_is_whether_it_may_be_driven_and_the_last_who_agreed(name: str) -> None:
    first, *_, last = customer_page(diagnosis(name)).blocks
    assert isinstance(first, Notice)
    assert isinstance(last, Blanks)
    assert any("call me" in label.lower() for label in last.labels)


def test_each_way_to_go_on_has_its_work_its_cost_and_its_chance() -> None:
    made = table("08")
    assert made is not None
    assert [row[0] for row in made.rows] == [way.what for way in customer_options(diagnosis("08"))]
    assert all("USD" in row[3] or row[3] == "nothing now" for row in made.rows)
    assert all("in 10" in row[4] for row in made.rows)


def test_where_the_maker_is_asked_there_is_nothing_to_choose() -> None:
    assert not any(isinstance(block, Table) for block in customer_page(stopped()[2]).blocks)


def test_what_happens_if_nothing_is_done_is_said_with_its_chance() -> None:
    assert "more than 9 in 10" in if_nothing_is_done(diagnosis("01"))
    assert "less than 1 in 10" in if_nothing_is_done(diagnosis("09"))
    assert "stays where it stands" in if_nothing_is_done(diagnosis("06"))
    assert any(isinstance(block, Say) and block.label == "If nothing is done" for block in blocks("01"))


def test_only_a_truck_that_drives_is_watched() -> None:
    assert any(isinstance(block, Points) and block.items == WATCH for block in blocks("01"))
    assert not any(isinstance(block, Points) for block in blocks("06"))


def test_once_the_work_is_on_its_way_nothing_is_left_to_choose_or_to_agree_to() -> None:
    case = worked("01", steps=1).case
    page = customer_page(diagnose(knowledge(), case))
    assert not any(isinstance(block, Table) for block in page.blocks)
    assert not any(isinstance(block, Say) and block.label == "If nothing is done" for block in page.blocks)
    last = page.blocks[-1]
    assert isinstance(last, Blanks)
    assert last.labels == ("Customer, date", "Shop, date")
