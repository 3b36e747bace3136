"""The tag to hang in the cab: may it be driven, what state it is in, and until when the sealant cures."""

from collections.abc import Iterator

from leakdx.explain.clocks import LOAD, clocks, is_bead, load_wait, local, since_it_came
from leakdx.explain.words import hours
from leakdx.explain.work import recheck_by
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
    """Until when a joint that was closed with sealant is left alone, as the clocks have it at the last entry."""
    knowledge, case = diagnosis.knowledge, diagnosis.case
    last = max((local(entry.at) for entry in case.log if entry.at is not None), default=None)
    waits = [clock for clock in clocks(knowledge, case, last) if clock.name == LOAD] if last else []
    for clock in waits:
        if clock.urgent:
            yield f"Sealant cures. No load before {clock.until:%Y-%m-%d %H:%M} ({clock.by}); its label rules."
    undated = [e for e in since_it_came(case) if is_bead(knowledge, e) and e.at is None]
    if undated and not waits and not case.closed:
        yield "Closed with sealant, time not written down; its label says how long it cures. Until: ______"


def _to_cure(diagnosis: Diagnosis) -> Iterator[Block]:
    """A line for the time until which the sealant will cure, where the recommended repair closes with it."""
    answers, knowledge = diagnosis.answers, diagnosis.knowledge
    path = answers.repairs[0].actions if answers.decision.do == "repair" and answers.repairs else ()
    if any(knowledge.repairs[action].closes == "sealant" for action in path):
        wait = load_wait(knowledge, diagnosis.case)
        yield Blanks((f"Sealant curing ({hours((wait, wait))}; its label rules) until",), 1)
