"""A case as it goes on after a check: its access opened by acts, its answers written down."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import structs

from leakdx.case import UNSURE, Case, Done, LogEntry, Observation, Told
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.repair import still_to_open

NOBODY = "-"
"""Who answers what nobody has answered yet."""


def gone_on(diagnosis: Diagnosis, check: str, answers: Mapping[str, str]) -> Case:
    """The case after the check with these answers (sign -> outcome).

    What else the check would show, and what it would tell, is written down as unsure, so that it is not made again.
    """
    knowledge, case = diagnosis.knowledge, diagnosis.case
    acts = list(acts_before(diagnosis, check))
    open_signs = diagnosis.offer.checks().get(check, ())
    signs = {sign: answers.get(sign, UNSURE) for sign in dict.fromkeys((*open_signs, *answers))}
    groups = [g for g in knowledge.checks[check].reveals if g in knowledge.history and g not in diagnosis.history]
    log = list[LogEntry](case.log)

    def number() -> int:
        return len(log) + 1

    for act in acts:
        log.append(Done(number=number(), who=NOBODY, act=act))
    for sign, answer in signs.items():
        log.append(Observation(number=number(), who=NOBODY, sign=sign, answer=answer))
    for group in groups:
        log.append(Told(number=number(), who=NOBODY, group=group, answer=UNSURE))
    return structs.replace(case, log=tuple(log))


def acts_before(diagnosis: Diagnosis, check: str) -> Iterator[str]:
    """The acts that open what the check needs, what is needed first coming first, and a drive where one is due."""
    knowledge, timeline = diagnosis.knowledge, diagnosis.timeline
    missing = still_to_open(knowledge, knowledge.checks[check].access, timeline.open)
    acts = [
        knowledge.openings[o].act for o in _needed_first(knowledge, [o for o in knowledge.openings if o in missing])
    ]
    yield from (act for act in acts if act is not None)
    places = any(knowledge.signs[s].place for s in knowledge.checks[check].reveals if s in knowledge.signs)
    drives = [act for act, entry in knowledge.acts.items() if entry.drives]
    if places and timeline.must_drive_first and drives and not set(drives) & set(acts):
        yield drives[0]


def _needed_first(knowledge: Knowledge, openings: Sequence[str]) -> list[str]:
    """The openings, each after those of them that it needs."""
    found: list[str] = []

    def visit(opening: str) -> None:
        for needed in knowledge.openings[opening].needs:
            if needed in openings:
                visit(needed)
        if opening not in found:
            found.append(opening)

    for opening in openings:
        visit(opening)
    return found
