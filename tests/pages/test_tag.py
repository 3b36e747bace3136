"""The tag in the cab: nobody drives off while the truck is in pieces or its sealant still cures."""

from datetime import datetime, timedelta

from msgspec.structs import replace

from leakdx.case import Case, Done, LogEntry, Record, Told
from leakdx.explain.clocks import BY_LABEL, USUAL, clocks
from leakdx.pages.document import Blanks, Document, Notice, Points, Say
from leakdx.pages.tag import CURING, NO, NOT_JUDGED, STATES, tag_page
from leakdx.reasoning.diagnosis import diagnose
from tests.pages.made import EMPTY, document
from tests.pages.test_record import grown
from tests.shipped import diagnosis, knowledge, trade

CLOSED = datetime(2026, 4, 20, 16, 30)
SEALANT = next(id for id, repair in knowledge().repairs.items() if repair.closes == "sealant")


def head(page: Document) -> str:
    return next(block.head for block in page.blocks if isinstance(block, Notice))


def said(page: Document) -> str:
    return " ".join(block.text for block in page.blocks if isinstance(block, Say))


def case_closed(*further: LogEntry) -> Case:
    """A joint that was closed with sealant, and what else was written down then."""
    return grown(diagnosis("06").case, Done(number=0, who="KL", at=CLOSED, act=SEALANT), *further)


def closed(later: datetime | None = None) -> Document:
    """The tag of it; ``later``: something was written down after it."""
    further = [Done(number=0, who="KL", at=later, act="washed")] if later else []
    return tag_page(diagnose(knowledge(), case_closed(*further)))


def test_a_truck_in_pieces_is_not_driven_and_its_state_can_be_ticked() -> None:
    page = document("tag", "06")
    assert head(page) == NO
    assert diagnosis("06").fit_to_drive.reason in said(page)
    assert next(block for block in page.blocks if isinstance(block, Points)).items == STATES


def test_sealant_cures_until_the_time_that_the_clocks_say() -> None:
    page = closed()
    assert head(page) == CURING
    (_, load) = clocks(knowledge(), case_closed(), CLOSED)
    assert f"No load before {load.until:%Y-%m-%d %H:%M} ({USUAL}" in said(page)


def test_the_typed_label_and_the_cold_air_move_the_time_on_the_tag() -> None:
    label = Record(number=0, who="KL", at=CLOSED, kind="sealant", text="open 10 min, fill 2 h, load 30 h, air 50 degF")
    (_, load) = clocks(knowledge(), case_closed(label), CLOSED)
    assert load.until > CLOSED + timedelta(hours=30)
    page = tag_page(diagnose(knowledge(), case_closed(label)))
    assert f"No load before {load.until:%Y-%m-%d %H:%M} ({BY_LABEL}" in said(page)


def test_once_it_has_cured_the_tag_says_so_no_longer() -> None:
    cured = CLOSED + timedelta(hours=trade().cure.waits.load_h)
    assert head(closed(cured - timedelta(minutes=1))) == CURING
    assert head(closed(cured)) != CURING


def test_where_nobody_wrote_down_when_it_was_closed_the_time_is_a_blank() -> None:
    undated = replace(Done(number=0, who="KL", act=SEALANT))
    assert "______" in said(tag_page(diagnose(knowledge(), grown(diagnosis("06").case, undated))))


def test_before_the_job_the_blank_names_the_time_that_the_clocks_will_have() -> None:
    no_gasket = Told(number=0, who="KL", at=CLOSED, group="gasket_made", answer="no")
    label = Record(number=0, who="KL", at=CLOSED, kind="sealant", text="load 30 h")
    for further, wait in (((), trade().cure.waits.load_h), ((label,), 30)):
        made = diagnose(knowledge(), grown(diagnosis("10").case, no_gasket, *further))
        assert SEALANT in made.answers.repairs[0].actions
        labels = [label for block in tag_page(made).blocks if isinstance(block, Blanks) for label in block.labels]
        assert any(label.startswith(f"Sealant curing ({wait:g} h; ") for label in labels)


def test_a_truck_that_may_be_driven_carries_the_date_of_the_next_look() -> None:
    assert "by 2026-03-16" in said(document("tag", "01"))
    assert any("Decided by" in block.labels[0] for block in document("tag", "01").blocks if isinstance(block, Blanks))


def test_nobody_drives_what_nobody_has_judged() -> None:
    assert (head(document("tag", EMPTY)), said(document("tag", EMPTY))) == (NO, NOT_JUDGED)
