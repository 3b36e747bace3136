"""The tag to hang in the cab: may it be driven, what state it is in, and until when the sealant cures."""

from collections.abc import Iterator
from datetime import timedelta

from leakdx.explain.words import hours
from leakdx.explain.work import recheck_by
from leakdx.knowledge.actions import Repair
from leakdx.pages.document import Blanks, Block, Document, Notice, Points, Say
from leakdx.pages.front import about_truck, foot, truck_name
from leakdx.reasoning.diagnosis import Diagnosis

STATES = ("oil drained", "a plug is out", "driveshaft down", "carrier out", "not filled yet", "chocked, on stands")
NO, CURING = "DO NOT DRIVE", "DO NOT DRIVE - SEALANT CURING"
_HEADS = {"no": NO, "recheck": "DRIVE ONLY WITH A RECHECK", "yes": "FIT TO DRIVE", "not_judged": NO}
NOT_JUDGED = "Nobody has decided yet whether it may be driven."


def tag_page(diagnosis: Diagnosis) -> Document:
    """The tag of one truck."""
    curing = list(_curing(diagnosis))
    fit = diagnosis.fit_to_drive
    head = CURING if curing else _HEADS[fit.answer]
    drives = fit.answer in ("yes", "recheck") and not curing
    reasons = curing or _reasons(diagnosis)
    blocks: list[Block] = [Notice("watch" if drives else "stop", head), *map(Say, reasons)]
    if drives:
        blocks += [Say(recheck_by(diagnosis), "Look at it again"), Blanks(("Decided by, when",), 1)]
    else:
        planned = [] if curing else list(_to_cure(diagnosis))
        blocks += [Points(STATES, ticks=True), *planned, Blanks(("Hung up by, when", "Taken off by, when"), 1)]
    return Document(title=truck_name(diagnosis), about=about_truck(diagnosis)[:1], blocks=tuple(blocks),
                    foot=foot(diagnosis), size="huge")  # fmt: skip


def _reasons(diagnosis: Diagnosis) -> list[str]:
    """Why; where it may not be driven everything that rules say to that, not the first alone."""
    fit = diagnosis.fit_to_drive
    if fit.answer == "not_judged":
        return [NOT_JUDGED]
    said = [s.say for firing in diagnosis.run.firings for s in firing.says if s.fit == "no" and s.say]
    return list(dict.fromkeys((fit.reason, *said)))


def _curing(diagnosis: Diagnosis) -> Iterator[str]:
    """Until when a joint that was closed with sealant is left alone, as far as the log says when it was closed."""
    log = {entry.number: entry for entry in diagnosis.case.log}
    last = max((entry.at for entry in log.values() if entry.at is not None), default=None)
    for act in diagnosis.timeline.acts:
        repair, closed = diagnosis.knowledge.repairs.get(act.act), log[act.entry].at
        if repair is None or not _cures(repair):
            continue
        if closed is None:
            yield f"Closed with sealant, time not written down; {_wait(repair)} from then. Until: ______"
        elif last is None or last < closed + timedelta(hours=repair.elapsed_hours[1]):
            until = [f"{closed + timedelta(hours=each):%Y-%m-%d %H:%M}" for each in repair.elapsed_hours]
            yield f"Closed {closed:%Y-%m-%d %H:%M}. Not before {until[0]}, cold not before {until[1]}; its label rules."


def _to_cure(diagnosis: Diagnosis) -> Iterator[Block]:
    """A line for the time until which the sealant will cure, where the recommended repair closes with it."""
    answers = diagnosis.answers
    path = answers.repairs[0].actions if answers.decision.do == "repair" and answers.repairs else ()
    for repair in (diagnosis.knowledge.repairs[action] for action in path):
        if _cures(repair):
            yield Blanks((f"Sealant curing ({_wait(repair)}; its label rules) until",), 1)


def _cures(repair: Repair) -> bool:
    return repair.closes == "sealant" and repair.elapsed_hours[1] > 0


def _wait(repair: Repair) -> str:
    return hours(repair.elapsed_hours)
