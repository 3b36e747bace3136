"""Every sentence of the customer's text stands on something in the answer to this very case, or is a promise."""

import re
from collections.abc import Iterator

import pytest

from leakdx.case import Case
from leakdx.explain.course import last_recheck, repairs_done
from leakdx.explain.customer import customer_sections, may_be_driven
from leakdx.explain.options import billed, done_in_plain
from leakdx.explain.plain import plain_words
from leakdx.explain.spoken import spoken_cost, spoken_limit, spoken_time
from leakdx.explain.words import answer_name, tenths
from leakdx.explain.work import recheck_by
from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from tests.shipped import NAMES, diagnosis, knowledge

PROMISES = (
    "We call you before we go beyond this",
    "Whether the truck may be driven has not been decided yet",
    "Nothing is repaired now",
)
"""What is said to every customer alike and claims nothing of the truck."""
ENDS = re.compile(r"(?<=[.?])\s+")


def plain(text: str) -> str:
    return plain_words(knowledge().words.plain, text).rstrip(".?")


def grounds(made: Diagnosis) -> Iterator[str]:
    """Whatever the answer to the case holds that a customer may be told, in plain words."""
    known, answers = knowledge(), made.answers
    yield plain(answers.fit_to_drive.reason)
    yield plain(known.name(made.timeline.complaint))
    for seen in answers.observations:
        sign = known.signs.get(seen.id)
        if sign is not None and seen.answer != sign.outcomes[0]:
            measured = sign.measure or sign.results
            yield plain(f"{seen.name}: {answer_name(known, seen.id, seen.answer)}" if measured else seen.name)
    for cause in answers.causes:
        said = known.words.not_listed.name if cause.id == NOT_LISTED else known.causes[cause.id].plain
        yield f"{plain(said)} ({tenths(cause.leaking_first)})"
        # The leader comes behind its chance.
        yield f"({tenths(cause.leaking_first)}): {plain(said)}"
        if any(cause.id in path.leaves for path in answers.repairs):
            yield plain(said)
    if answers.clear_at.level == "zone" and answers.clear_at.name:
        yield plain(answers.clear_at.name)
    if answers.undecided_between:
        yield from ("Which of these it is", "Not clear yet")
    if answers.could_be_none_of_these.warn:
        yield f"something that we have not met before ({tenths(answers.could_be_none_of_these.probability)})"
    for check in known.checks.values():
        if not made.timeline.out_of_reach.isdisjoint(check.reveals):
            yield plain(check.name)
    if answers.next_check is not None:
        yield from _of_check(made)
    for path in answers.repairs[:1] if answers.decision.do == "repair" else ():
        yield done_in_plain(known, path.actions).rstrip(".")
        yield spoken_time(path.minutes)
        yield billed(made, path)
        yield f"That it stays dry after that: {tenths(path.p_hold)}"
        for action in path.actions:
            yield from map(plain, (known.repairs[action].proof, known.repairs[action].recheck))
    done = repairs_done(known, made.case)
    if done:
        yield done_in_plain(known, done).rstrip(".")
        yield "It has not been looked at again yet" if last_recheck(made.case) is None else "Looked at again"
    for one in answers.required:
        yield plain(known.repairs[one.id].plain)
    if answers.decision.do == "stop_and_ask":
        yield from (plain(repair.plain) for repair in known.repairs.values() if repair.asks_maker)
    if answers.decision.do == "release_and_recheck":
        yield recheck_by(made)
    more = [1 - sum(s.probability for s in answers.sets if len(s.causes) <= named) for named in (1, 2)]
    yield from (f"whether there is more behind it ({tenths(chance)})" for chance in more)


def _of_check(made: Diagnosis) -> Iterator[str]:
    known, check = knowledge(), made.answers.next_check
    assert check is not None
    yield plain(check.name)
    yield spoken_time(check.minutes)
    yield spoken_cost(made.shop, check.minutes, 0.0)
    yield f"up to {spoken_limit(check.minutes[1])} before we call you"
    yield from (plain(known.openings[opened].name) for opened in check.opens)
    asked = known.history.get(known.checks[check.id].reveals[0])
    if asked is not None:
        yield plain(asked.question)


def without_ground(made: Diagnosis, texts: list[str]) -> list[str]:
    """The sentences among the texts that hold no ground of the case and are no promise."""
    found = []
    # A ground may be several sentences, so it goes before the text is cut into sentences; the longest first.
    parts = sorted({ground for ground in grounds(made) if ground}, key=len, reverse=True)
    pattern = re.compile("|".join(map(re.escape, (*parts, *PROMISES))), re.IGNORECASE)
    for text in texts:
        found += [left for left in ENDS.split(pattern.sub("*", text)) if "*" not in left]
    return found


def said(made: Diagnosis) -> list[str]:
    return [*may_be_driven(knowledge(), made)[1:], *(text for _, text in customer_sections(knowledge(), made))]


@pytest.mark.parametrize("name", NAMES)
def test_no_sentence_to_a_customer_is_without_a_ground(name: str) -> None:
    assert without_ground(diagnosis(name), said(diagnosis(name))) == []


def test_a_case_with_nothing_answered_says_nothing_without_a_ground_either() -> None:
    made = diagnose(knowledge(), Case(id="NEW", complaint=knowledge().complaint))
    assert without_ground(made, said(made)) == []


@pytest.mark.parametrize("name", NAMES)
def test_what_is_said_of_another_truck_has_no_ground_in_this_one(name: str) -> None:
    other = NAMES[(NAMES.index(name) + 1) % len(NAMES)]
    assert without_ground(diagnosis(name), said(diagnosis(other)))
