"""The job of the recommended path: what to have ready, what to open, the steps in order of work, proof and nevers."""

from collections.abc import Sequence

from msgspec import Struct

from leakdx.explain.page import Page
from leakdx.explain.words import hours, minutes
from leakdx.knowledge.model import Knowledge, Opening, Step
from leakdx.reasoning.answer import RepairPath
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.repair import opening_closure


class Part(Struct, frozen=True):
    """One repair of the job, or the opening up before it, and its steps in order."""

    title: str
    steps: tuple[Step, ...]


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
    """The whole job in order: opening up what is not open yet, then repair by repair."""
    knowledge = diagnosis.knowledge
    needed = opening_closure(knowledge, (o for a in path.actions for o in knowledge.repairs[a].access))
    closed = [o for o in knowledge.openings if o in needed - diagnosis.timeline.open.keys()]
    closed.sort(key=lambda o: len(opening_closure(knowledge, (o,))))  # what others need stands before them
    openings = [knowledge.openings[o] for o in closed]
    opening_up = Part(
        "Open it up", tuple(Step(do=f"{o.name} ({access_time(o)})", cautions=o.cautions) for o in openings)
    )
    repairs = [knowledge.repairs[action] for action in work_order(diagnosis, path)]
    return (*((opening_up,) if openings else ()), *(Part(r.name, r.steps) for r in repairs))


def job_cautions(diagnosis: Diagnosis, path: RepairPath) -> set[str]:
    """All cautions that stand at a step of the job."""
    return {id for part in job_parts(diagnosis, path) for step in part.steps for id in step.cautions}


def print_job(page: Page, diagnosis: Diagnosis, path: RepairPath, cautions: Cautions) -> None:
    """Parts and tools before anything is taken apart, then the steps, then proof, recheck and nevers."""
    repairs = [diagnosis.knowledge.repairs[action] for action in work_order(diagnosis, path)]
    page.head("The job", f"path A, hands-on {minutes(path.minutes)}")
    for label, things in (
        ("Have ready: ", [tool for repair in repairs for tool in repair.tools]),
        ("Parts: ", [part for repair in repairs for part in repair.needs_parts]),
    ):
        if things:
            page.say("; ".join(dict.fromkeys(things)), label)
    if len(repairs) > 1 and any(repair.closes for repair in repairs):
        page.say("Read it through once before you start: the old seal is read before anything on its faces is touched.")
    for number, part in enumerate(job_parts(diagnosis, path), start=1):
        page.blank()
        page.say(part.title, f"{number}  ", indent=0)
        for place, step in enumerate(part.steps, start=1):
            _print_step(page, step, f"{number}.{place}", cautions)
    page.blank()
    page.bullets(dict.fromkeys(r.proof for r in repairs), mark="Proof: ")
    page.bullets(dict.fromkeys(r.recheck for r in repairs), mark="Recheck: ")
    page.bullets(dict.fromkeys(never for r in repairs for never in r.never), mark="! ")


def _print_step(page: Page, step: Step, number: str, cautions: Cautions) -> None:
    """Cautions before what is to be done, the hold after it, with a blank for initials."""
    page.say(step.do, number.ljust(5), indent=1)
    cautions.say(step.cautions, indent=6)
    if step.hold:
        page.say(step.hold, "[HOLD ____] ", indent=6)
