"""Every published value of the mechanics, and that the document shows them all."""

import pytest

from tests.published.mechanics_checks import CHECKS
from tests.published.mechanics_checks.__main__ import DOCUMENT, HEAD
from tests.published.mechanics_checks.check import MEMORY, OWN, PAGE, Check, table


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_ours_is_the_published_value(check: Check) -> None:
    assert check.holds, f"{check}: published {check.value:g} {check.unit}, ours {check.ours:g}"


def test_every_check_names_its_source_and_how_far_it_was_seen() -> None:
    assert all(check.source and check.status in (PAGE, MEMORY, OWN) for check in CHECKS)
    assert len({str(check) for check in CHECKS}) == len(CHECKS)


def test_the_document_is_up_to_date() -> None:
    assert DOCUMENT.read_text(encoding="utf-8") == HEAD + table(CHECKS)
