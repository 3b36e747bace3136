"""Everything that can be asked is a question in plain words."""

import re

import pytest

from leakdx.knowledge.loader import load_knowledge, shipped_folder

SHIPPED = load_knowledge([shipped_folder()])
BEGINS = re.compile(r"(Is|Are|Was|Were|Has|Have|Do|Does|Did|What|Which|Who|When|Where|How)\b")
ASKED = {
    **{f"sign {id}": sign.question for id, sign in SHIPPED.signs.items()},
    **{f"history {id}": group.question for id, group in SHIPPED.history.items()},
}


@pytest.mark.parametrize("of", ASKED)
def test_it_reads_as_a_question(of: str) -> None:
    text = ASKED[of]
    assert text is not None
    assert text.endswith("?")
    assert BEGINS.match(text), text


@pytest.mark.parametrize("id", [id for id, sign in SHIPPED.signs.items() if not sign.results and not sign.measure])
def test_yes_and_no_answer_it(id: str) -> None:
    first = (SHIPPED.signs[id].question or "").split()[0]
    assert first in {"Is", "Are", "Was", "Were", "Has", "Have", "Do", "Does", "Did"}
