"""What was shown of a case is kept once, with the knowledge behind it, and comes out the same when it is made again."""

import zlib
from pathlib import Path

import msgspec
import pytest
from sqlalchemy import select

from leakdx.knowledge.files import gather
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.check import check
from leakdx.store.database.replay import replay
from leakdx.store.database.salvage import salvage
from leakdx.store.database.shown import keep_shown, shown_of
from leakdx.store.database.tables import diagnoses, knowledges
from leakdx.store.settings import OwnSettings, Settings, laid_over
from leakdx.store.source import KnowledgeSource
from tests.store.database.stores import SIX, SIX_FOLDER, a_case, grown

SOURCE = KnowledgeSource(gather([SIX_FOLDER]))
KNOWN = laid_over(SIX, OwnSettings(Settings()))


@pytest.fixture
def store(url: str) -> CaseStore:
    """A store with a case that was shown, added to, and shown again."""
    made = open_store(url)
    made.begin(a_case())
    home = made.home("KD-1", SIX)
    for note in ("", "more"):
        if note:
            home.save(grown(home.case, note))
        for _ in range(2):
            keep_shown(made.database, made.kept("KD-1"), diagnose(KNOWN, home.case), SOURCE)
    return made


def test_it_is_kept_once_for_each_state_of_the_log_and_each_knowledge_once(store: CaseStore) -> None:
    assert [shown.entries for shown in shown_of(store.database, "kd-1")] == [3, 4]
    with store.database.reading() as connection:
        assert connection.execute(select(knowledges.c.hash)).scalars().all() == [SOURCE.hash]


def test_it_comes_out_the_same_from_the_store_alone(store: CaseStore) -> None:
    assert [one.same for one in replay(store, "KD-1")] == [True, True]


def test_what_comes_out_otherwise_says_what_differs(store: CaseStore) -> None:
    (first, _) = shown_of(store.database, "KD-1")
    answers = msgspec.json.decode(first.answers)
    answers["causes"][0]["leaking"] = 0.123
    with store.database.writing() as connection:
        altered = {"answers": zlib.compress(msgspec.json.encode(answers))}
        connection.execute(diagnoses.update().where(diagnoses.c.number == 1).values(altered))
    one, other = replay(store, "KD-1")
    assert (one.same, other.same) == (False, True)
    assert len(one.differences) == 1
    assert f"causes.{answers['causes'][0]['id']}.leaking: 0.123 -> " in one.differences[0]


def test_a_knowledge_that_is_damaged_is_named_as_the_reason(store: CaseStore) -> None:
    with store.database.writing() as connection:
        connection.execute(knowledges.update().values(files=b"xxxx"))
    assert [one.wrong for one in replay(store, "KD-1")] == [
        f"the knowledge {SOURCE.hash[:12]} is damaged and was not read"
    ] * 2


def test_a_damaged_answer_is_named_by_the_check(store: CaseStore) -> None:
    assert check(store.database.place).faults == ()
    with store.database.writing() as connection:
        connection.execute(diagnoses.update().where(diagnoses.c.number == 2).values(answers=b"no answer"))
    assert check(store.database.place).faults == ("answer 2 that was shown of case KD-1 is not as it was written",)


def test_what_was_shown_is_salvaged_with_its_case_and_what_cannot_be_is_counted(tmp_path: Path) -> None:
    store = open_store(f"sqlite:///{tmp_path / 'cases.db'}")
    store.begin(a_case())
    home = store.home("KD-1", SIX)
    keep_shown(store.database, store.kept("KD-1"), diagnose(KNOWN, home.case), SOURCE)
    home.save(grown(home.case, "more"))
    keep_shown(store.database, store.kept("KD-1"), diagnose(KNOWN, home.case), SOURCE)
    saved = salvage(store.database.place, tmp_path / "saved.db")
    assert (saved.whole, saved.lost) == (1, [])
    again = open_store(f"sqlite:///{tmp_path / 'saved.db'}")
    assert [(s.entries, s.answers) for s in shown_of(again.database, "KD-1")] == [
        (s.entries, s.answers) for s in shown_of(store.database, "KD-1")
    ]
    assert [one.same for one in replay(again, "KD-1")] == [True, True]
    with store.database.writing() as connection:
        connection.execute(diagnoses.update().where(diagnoses.c.number == 1).values(answers=b"no answer"))
    less = salvage(store.database.place, tmp_path / "less.db")
    assert less.lost == ["case KD-1: 1 of the answers that were shown of it could not be saved"]
    assert len(shown_of(open_store(f"sqlite:///{tmp_path / 'less.db'}").database, "KD-1")) == 1
