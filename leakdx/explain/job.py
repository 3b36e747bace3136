"""The job of the recommended path: what to have ready, then the steps of all its repairs in one order of work."""

from collections.abc import Mapping, Sequence

from msgspec import Struct, structs

from leakdx.explain.cautions import Cautions
from leakdx.explain.page import Page
from leakdx.explain.words import hours, minutes, path_name
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
    """One step of the job and the repairs that ask for it, by id; or of the opening up: what it opens, by id."""

    step: Step
    of: tuple[str, ...] = ()
    opens: str = ""


class Part(Struct, frozen=True):
    """One phase of the job and its steps in order."""

    title: str
    rows: tuple[Row, ...]


def say_cautions(page: Page, cautions: Cautions, ids: Sequence[str], indent: int) -> None:
    """Print the cautions of one step."""
    for text in cautions.words(ids):
        page.say(text, "CAUTION: ", indent)


def access_time(opening: Opening) -> str:
    """Hands-on minutes of an opening, and its waiting."""
    wait = hours((opening.elapsed_hours, opening.elapsed_hours))
    if not opening.minutes[1]:
        return f"wait {wait}"
    return minutes(opening.minutes) + (f", then {wait} waiting" if opening.elapsed_hours else "")


def work_order(diagnosis: Diagnosis, actions: Sequence[str]) -> tuple[str, ...]:
    """The actions as they are done: what must come first, what needs the joint open, the closing, the rest."""
    repairs = diagnosis.knowledge.repairs
    required = {said.id for said in diagnosis.orders.required()}
    first = {o for ban in diagnosis.forbidden if ban.scope == "not before" for o in ban.other}
    joint = {o for action in actions if repairs[action].closes for o in repairs[action].access}

    def rank(action: str) -> int:
        if repairs[action].closes:
            return 2
        if joint & set(repairs[action].access):
            return 1
        return 0 if action in first or (action in required and not repairs[action].access) else 3

    return tuple(sorted(actions, key=rank))


def job_parts(diagnosis: Diagnosis, actions: Sequence[str]) -> tuple[Part, ...]:
    """The whole job of some repairs phase by phase; what several ask for in the same words is done once."""
    repairs = {action: diagnosis.knowledge.repairs[action] for action in work_order(diagnosis, actions)}
    parts = []
    for phase in PHASES:
        rows = _opening_up(diagnosis, tuple(repairs.values())) if phase == "open" else []
        rows += merged(repairs, phase)
        if rows:
            parts.append(Part(TITLES[phase], tuple(rows)))
    return tuple(parts)


def merged(repairs: Mapping[str, Repair], phase: Phase) -> list[Row]:
    """The steps of one phase, each text once, where it is asked for first; its cautions and holds joined."""
    found: dict[str, Row] = {}
    for id, repair in repairs.items():
        for step in repair.steps:
            if step.phase != phase:
                continue
            if step.do in found:
                first = found[step.do]
                step = structs.replace(
                    first.step,
                    cautions=tuple(dict.fromkeys((*first.step.cautions, *step.cautions))),
                    hold=" ".join(dict.fromkeys(h for h in (first.step.hold, step.hold) if h)) or None,
                )
                found[step.do] = Row(step, tuple(dict.fromkeys((*first.of, id))))
            else:
                found[step.do] = Row(step, (id,))
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
        step = Step(do=f"{opening.name} ({access_time(opening)}){why}", cautions=opening.cautions)
        rows.append(Row(step, opens=id))
    return rows


def proofs(knowledge: Knowledge, actions: Sequence[str]) -> tuple[str, ...]:
    """How repairs are proved and when they are looked at again, each said once."""
    repairs = [knowledge.repairs[action] for action in actions]
    return tuple(dict.fromkeys(said for repair in repairs for said in (repair.proof, repair.recheck)))


def job_cautions(diagnosis: Diagnosis, path: RepairPath) -> set[str]:
    """All cautions that stand at a step of the job."""
    return {id for part in job_parts(diagnosis, path.actions) for row in part.rows for id in row.step.cautions}


def print_job(page: Page, diagnosis: Diagnosis, path: RepairPath, cautions: Cautions) -> None:
    """The job of path A."""
    page.head("The job", f"path A, hands-on {minutes(path.minutes)}")
    _print_steps(page, diagnosis, path.actions, cautions)


def job_text(diagnosis: Diagnosis, actions: Sequence[str], width: int) -> str:
    """The job of some repairs on a page of its own."""
    page = Page(width)
    page.head("The job", path_name(diagnosis.knowledge, actions))
    _print_steps(page, diagnosis, actions, Cautions(diagnosis.knowledge))
    return page.text()


def _print_steps(page: Page, diagnosis: Diagnosis, actions: Sequence[str], cautions: Cautions) -> None:
    """Tools and parts before anything is taken apart, then the steps, then proof, recheck and nevers."""
    repairs = [diagnosis.knowledge.repairs[action] for action in work_order(diagnosis, actions)]
    for label, things in (
        ("Have ready: ", [tool for repair in repairs for tool in repair.tools]),
        ("Parts: ", [part for repair in repairs for part in repair.needs_parts]),
    ):
        if things:
            page.say("; ".join(dict.fromkeys(things)), label)
    for number, part in enumerate(job_parts(diagnosis, actions), start=1):
        page.blank()
        page.say(part.title, f"{number}  ", indent=0)
        of: tuple[str, ...] = ()
        for place, row in enumerate(part.rows, start=1):
            if row.of != of and len(repairs) > 1:
                page.say(f"{'; '.join(map(diagnosis.knowledge.name, row.of))}:", indent=4)
            of = row.of
            _print_step(page, row.step, f"{number}.{place}", cautions)
    page.blank()
    page.bullets(dict.fromkeys(r.proof for r in repairs), mark="Proof: ")
    page.bullets(dict.fromkeys(r.recheck for r in repairs), mark="Recheck: ")
    page.bullets(dict.fromkeys(never for r in repairs for never in r.never), mark="! ")


def _print_step(page: Page, step: Step, number: str, cautions: Cautions) -> None:
    """A box to tick, what is to be done, its cautions, and the hold after it with a blank for initials."""
    page.say(step.do, f"[ ] {number.ljust(5)}", indent=0)
    say_cautions(page, cautions, step.cautions, 9)
    if step.hold:
        page.say(step.hold, "[HOLD ____] ", indent=9)
