"""The job of the recommended path: what to have ready, then the steps of all its repairs in one order of work."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from leakdx.explain.page import Page
from leakdx.explain.words import hours, minutes
from leakdx.knowledge.actions import PHASES, Phase, Repair, Step
from leakdx.knowledge.model import Knowledge, Opening
from leakdx.reasoning.answer import RepairPath
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.repair import opening_closure

TITLES: Mapping[Phase, str] = {
    "evidence": "Before anything is undone",
    "open": "Open it up, and read it before it is wiped or scraped",
    "clean": "Clean",
    "mend": "Measure and mend",
    "ready": "Show it fit to be closed",
    "close": "Close",
    "tighten": "Tighten",
    "fill": "Fill, and make ready for the road",
    "prove": "Prove it",
}


class Row(Struct, frozen=True):
    """One step of the job and the names of the repairs that ask for it (none: the opening up)."""

    step: Step
    of: tuple[str, ...]


class Part(Struct, frozen=True):
    """One phase of the job and its steps in order."""

    title: str
    rows: tuple[Row, ...]


class Cautions:
    """Cautions at the step that needs them: in full the first time on a page, by name after that."""

    def __init__(self, page: Page, knowledge: Knowledge) -> None:
        self._page = page
        self._knowledge = knowledge
        self.said: set[str] = set()

    def say(self, ids: Sequence[str], indent: int) -> None:
        """Print the cautions of one step."""
        for id in ids:
            caution = self._knowledge.cautions[id]
            text = f"{caution.name} - as above" if id in self.said else caution.text
            self._page.say(text, "CAUTION: ", indent)
            self.said.add(id)


def access_time(opening: Opening) -> str:
    """Hands-on minutes of an opening, and its waiting."""
    wait = hours((opening.elapsed_hours, opening.elapsed_hours))
    if not opening.minutes[1]:
        return f"wait {wait}"
    return minutes(opening.minutes) + (f", then {wait} waiting" if opening.elapsed_hours else "")


def work_order(diagnosis: Diagnosis, path: RepairPath) -> tuple[str, ...]:
    """The actions as they are done: what must come first, what needs the joint open, the closing, the rest."""
    repairs = diagnosis.knowledge.repairs
    required = {said.id for said in diagnosis.answers.required}
    first = {o for ban in diagnosis.forbidden if ban.scope == "not before" for o in ban.other}
    joint = {o for action in path.actions if repairs[action].closes for o in repairs[action].access}

    def rank(action: str) -> int:
        if repairs[action].closes:
            return 2
        if joint & set(repairs[action].access):
            return 1
        return 0 if action in first or (action in required and not repairs[action].access) else 3

    return tuple(sorted(path.actions, key=rank))


def job_parts(diagnosis: Diagnosis, path: RepairPath) -> tuple[Part, ...]:
    """The whole job phase by phase; what several repairs ask for in the same words is done once."""
    repairs = [diagnosis.knowledge.repairs[action] for action in work_order(diagnosis, path)]
    parts = []
    for phase in PHASES:
        rows = list(_opening_up(diagnosis, repairs)) if phase == "open" else []
        rows += merged(repairs, phase)
        if rows:
            parts.append(Part(TITLES[phase], tuple(rows)))
    return tuple(parts)


def merged(repairs: Sequence[Repair], phase: Phase) -> list[Row]:
    """The steps of one phase, each text once, where it is asked for first; its cautions and holds joined."""
    found: dict[str, Row] = {}
    for repair in repairs:
        for step in repair.steps:
            if step.phase != phase:
                continue
            if step.do in found:
                first = found[step.do]
                step = Step(
                    do=step.do,
                    phase=phase,
                    cautions=tuple(dict.fromkeys((*first.step.cautions, *step.cautions))),
                    hold=" ".join(dict.fromkeys(h for h in (first.step.hold, step.hold) if h)) or None,
                )
                found[step.do] = Row(step, tuple(dict.fromkeys((*first.of, repair.name))))
            else:
                found[step.do] = Row(step, (repair.name,))
    return list(found.values())


def _opening_up(diagnosis: Diagnosis, repairs: Sequence[Repair]) -> list[Row]:
    """What is not open yet, what others need first; with the repairs that need it, unless all do."""
    knowledge = diagnosis.knowledge
    needs = {repair.name: opening_closure(knowledge, repair.access) for repair in repairs}
    closed = [o for o in knowledge.openings if o not in diagnosis.timeline.open and any(o in n for n in needs.values())]
    closed.sort(key=lambda o: len(opening_closure(knowledge, (o,))))
    rows = []
    for id in closed:
        opening = knowledge.openings[id]
        users = [name for name, needed in needs.items() if id in needed]
        why = f", for: {'; '.join(users)}" if len(users) < len(repairs) else ""
        rows.append(Row(Step(do=f"{opening.name} ({access_time(opening)}){why}", cautions=opening.cautions), ()))
    return rows


def job_cautions(diagnosis: Diagnosis, path: RepairPath) -> set[str]:
    """All cautions that stand at a step of the job."""
    return {id for part in job_parts(diagnosis, path) for row in part.rows for id in row.step.cautions}


def print_job(page: Page, diagnosis: Diagnosis, path: RepairPath, cautions: Cautions) -> None:
    """Tools and parts before anything is taken apart, then the steps, then proof, recheck and nevers."""
    repairs = [diagnosis.knowledge.repairs[action] for action in work_order(diagnosis, path)]
    page.head("The job", f"path A, hands-on {minutes(path.minutes)}")
    for label, things in (
        ("Have ready: ", [tool for repair in repairs for tool in repair.tools]),
        ("Parts: ", [part for repair in repairs for part in repair.needs_parts]),
    ):
        if things:
            page.say("; ".join(dict.fromkeys(things)), label)
    for number, part in enumerate(job_parts(diagnosis, path), start=1):
        page.blank()
        page.say(part.title, f"{number}  ", indent=0)
        of: tuple[str, ...] = ()
        for place, row in enumerate(part.rows, start=1):
            if row.of != of and len(repairs) > 1:
                page.say(f"{'; '.join(row.of)}:", indent=4)
            of = row.of
            _print_step(page, row.step, f"{number}.{place}", cautions)
    page.blank()
    page.bullets(dict.fromkeys(r.proof for r in repairs), mark="Proof: ")
    page.bullets(dict.fromkeys(r.recheck for r in repairs), mark="Recheck: ")
    page.bullets(dict.fromkeys(never for r in repairs for never in r.never), mark="! ")


def _print_step(page: Page, step: Step, number: str, cautions: Cautions) -> None:
    """A box to tick, what is to be done, its cautions, and the hold after it with a blank for initials."""
    page.say(step.do, f"[ ] {number.ljust(5)}", indent=0)
    cautions.say(step.cautions, indent=9)
    if step.hold:
        page.say(step.hold, "[HOLD ____] ", indent=9)
