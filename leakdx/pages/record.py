"""The repair record, what a warranty desk asks for: complaint, cause, correction, and what each stands on.

Nobody is blamed, and nothing is said to be surer than it is. What is not written down in the case is a blank.
"""

from collections.abc import Iterator, Sequence

from leakdx.case import Done, LogEntry, Measurement, Note, Observation, PlacesSeen, Reading, Told, Withdrawal
from leakdx.explain.course import Course, course_of
from leakdx.explain.job import proofs, work_order
from leakdx.explain.reasons import FIT_WORDS
from leakdx.explain.words import answer_name, is_over, listed, minutes, path_name, percent, sure
from leakdx.explain.work import DECISION_WORDS, recheck_by
from leakdx.interview.measuring.picture import flange_of, flange_svg
from leakdx.interview.readback import read_back, signed_by
from leakdx.knowledge.model import Measure
from leakdx.pages.customer import TONES
from leakdx.pages.document import (
    Blanks,
    Block,
    Column,
    Document,
    Facts,
    Heading,
    Notice,
    Photo,
    Photos,
    Picture,
    Points,
    Say,
    Table,
)
from leakdx.pages.front import about_truck, as_of, foot, truck_name
from leakdx.quantities import beyond
from leakdx.reasoning.diagnosis import Diagnosis

LIKELY = 0.5
"""Above this a cause is named beside the leading one."""
_SEEN = (Observation, PlacesSeen, Told, Done, Note)
_MEASURED = (Reading, Measurement)
_SIGNED = (
    "Technician, date", "Foreman, date", "Failed part kept, tag no.", "Warranty desk, date",
)  # fmt: skip


def record_page(diagnosis: Diagnosis, photos: Sequence[Photo] = ()) -> Document:
    """The record of one case."""
    course = course_of(diagnosis.knowledge, diagnosis.case)
    blocks = [
        *_complaint(diagnosis),
        *_cause(diagnosis),
        *_correction(diagnosis, course),
        *_measurements(diagnosis),
        *_seen(diagnosis),
        *_parts(diagnosis, course),
        *_times(diagnosis, course),
        *_holds(diagnosis),
        *_recheck(diagnosis, course),
        *_taken_back(diagnosis),
        Heading("Signed"),
        Blanks(_SIGNED),
        *((Heading("Photos and files"), Photos(tuple(photos))) if photos else ()),
    ]
    title = f"Repair record: {truck_name(diagnosis)}"
    return Document(title=title, about=about_truck(diagnosis), blocks=tuple(blocks), foot=foot(diagnosis))


def _complaint(diagnosis: Diagnosis) -> Iterator[Block]:
    case, knowledge = diagnosis.case, diagnosis.knowledge
    dated = [entry.at for entry in case.log if entry.at is not None]
    rows = [
        ("Came in for", f"wet at the {knowledge.name(case.complaint)}"),
        ("In the driver's words", f'"{case.story}"' if case.story else ""),
        ("Written down first", f"{min(dated):%Y-%m-%d %H:%M}" if dated else ""),
        ("The case is", f"closed: {case.closed}" if case.closed else "open"),
        *(("Came back", f"wet again at the {row.name} (entry {row.entry})") for row in diagnosis.answers.comebacks),
    ]
    fit = diagnosis.fit_to_drive
    by = f" (rule: {knowledge.name(fit.by)})" if fit.by else ""
    yield Heading("Complaint")
    yield Facts(tuple((label, said) for label, said in rows if said))
    yield Notice(TONES[fit.answer], FIT_WORDS[fit.answer].upper(), f"{fit.reason}{by}")


def _cause(diagnosis: Diagnosis) -> Iterator[Block]:
    """What failed, what made it likelier, what else was so, and what is not settled."""
    answers, knowledge = diagnosis.answers, diagnosis.knowledge
    leader = answers.causes[0]
    others = [c for c in answers.causes[1:] if c.leaking_first > LIKELY]
    named = {cause.id: cause for cause in answers.causes}
    between = [f"{named[id].name} ({percent(named[id].leaking_first)})" for id in answers.undecided_between]
    proved = [f"{knowledge.name(id)} (rule: {knowledge.name(rule)})" for id, rule in answers.established.items()]
    rows = [
        ("Where", f"{answers.zones[0].name}, {sure(answers.zones[0].leaking_first)}"),
        ("Not settled between", "; ".join(between)),
        ("What failed", "" if between else f"{leader.name}, {sure(leader.leaking_first)}"),
        ("Made likelier by", "; ".join(_contributor(diagnosis, id) for id in leader.contributors)),
        ("As well", "; ".join(f"{c.name}, {sure(c.leaking_first)}{_over(c.leaking, is_over(c))}" for c in others)),
        ("Proved by rule", "; ".join(proved)),
        ("Ruled out", "; ".join(map(knowledge.name, answers.excluded))),
    ]
    yield Heading("Cause")
    yield Facts(tuple((label, said) for label, said in rows if said))
    if answers.could_be_none_of_these.warn:
        chance = percent(answers.could_be_none_of_these.probability)
        yield Say(f"It could be something that is not listed: {chance}.", "Beware")


def _over(now: float, over: bool) -> str:
    return f", over by now ({percent(now)} that it still leaks)" if over else ""


def _contributor(diagnosis: Diagnosis, id: str) -> str:
    knowledge = diagnosis.knowledge
    if id not in knowledge.history:
        return knowledge.name(id)
    return f"{answer_name(knowledge, id, diagnosis.history[id])} ({knowledge.name(id)})"


# -- correction ------------------------------------------------------------------------------------------


def _correction(diagnosis: Diagnosis, course: Course | None) -> Iterator[Block]:
    """What was decided and done, step by step with names; or what is proposed, and that nothing is done yet."""
    knowledge = diagnosis.knowledge
    yield Heading("Correction")
    if course is None:
        yield from _proposed(diagnosis)
        return
    yield Facts(
        (
            ("Decided", f"{path_name(knowledge, course.actions)} ({signed_by(course.decided)})"),
            *(("Done", f"{knowledge.name(action)} ({signed_by(e)})") for action, e in course.finished.items()),
        )
    )
    columns = (Column("No.", 0.4, True), Column("Step", 2.4), Column("Done", 1.1), Column("Hold signed", 1.6))
    rows = tuple(
        (
            step.number,
            step.step.do,
            signed_by(step.done) if step.done else "",
            f"{step.step.hold} {f'- {signed_by(step.signed)}' if step.signed else '- ______'}"
            if step.step.hold
            else "-",
        )
        for step in course.steps
    )
    yield Table("Steps, by whom and when", columns, rows)


def _proposed(diagnosis: Diagnosis) -> Iterator[Block]:
    answers, knowledge = diagnosis.answers, diagnosis.knowledge
    done = [e for e in diagnosis.timeline.acts if e.act in knowledge.repairs]
    for act in done:
        entry = next(e for e in diagnosis.case.log if e.number == act.entry)
        yield Say(f"{knowledge.name(act.act)} ({signed_by(entry)})", "Done")
    yield Say(f"{DECISION_WORDS[answers.decision.do]}. {answers.decision.reason}", "Proposed")
    if answers.decision.do == "repair" and answers.repairs:
        path = answers.repairs[0]
        yield Say(f"{path_name(knowledge, path.actions)}; holds: {sure(path.p_hold)}", "Repair")
        left = [f"{knowledge.name(cause)} {percent(chance)}" for cause, chance in path.leaves.items()]
        yield Say("; ".join(left) or "nothing that is likely", "It does not fix")
    yield Blanks(("Decided by, when", "Done by, when"))


def _actions(diagnosis: Diagnosis, course: Course | None) -> tuple[str, ...]:
    """The repairs that the record is about: decided on, or else proposed."""
    answers = diagnosis.answers
    if course is not None:
        return course.actions
    proposed = answers.decision.do == "repair" and answers.repairs
    return work_order(diagnosis, answers.repairs[0].actions) if proposed else ()


def _parts(diagnosis: Diagnosis, course: Course | None) -> Iterator[Block]:
    """Parts by their description; what was really used is written in."""
    repairs = [diagnosis.knowledge.repairs[action] for action in _actions(diagnosis, course)]
    parts = tuple(dict.fromkeys(part for repair in repairs for part in repair.needs_parts))
    if parts:
        columns = (Column("Part", 2.6), Column("Used", 0.7), Column("Part no., batch", 1.4))
        yield Heading("Parts")
        yield Table("Parts of the repair, by description and size", columns, tuple((part, "", "") for part in parts))


def _times(diagnosis: Diagnosis, course: Course | None) -> Iterator[Block]:
    answers = diagnosis.answers
    yield Heading("Times")
    if course is None and answers.decision.do == "repair" and answers.repairs:
        yield Say(minutes(answers.repairs[0].minutes), "Estimated hands-on time")
    if as_of(diagnosis):
        yield Say(as_of(diagnosis), "Written down last")
    yield Blanks(("Hours worked", "By whom", "Truck in, odometer", "Truck out, odometer"))


def _holds(diagnosis: Diagnosis) -> Iterator[Block]:
    """Holds that stand still; those at steps of the repair are in its table."""
    if diagnosis.holds:
        yield Heading("Holds that stand")
        for hold in diagnosis.holds:
            yield Notice("plain", "HOLD", hold.text, boxed=True)


def _recheck(diagnosis: Diagnosis, course: Course | None) -> Iterator[Block]:
    due = proofs(diagnosis.knowledge, _actions(diagnosis, course))
    yield Heading("Proof and recheck")
    if due:
        yield Points(due)
    looked = course.rechecks if course else ()
    if looked:
        rows = tuple((entry.text, entry.note, signed_by(entry)) for entry in looked)
        yield Table("Looked at again", (Column("Found", 0.7), Column("Note", 2.0), Column("By whom, when", 1.3)), rows)
    elif not diagnosis.case.closed:
        yield Say(recheck_by(diagnosis), "Look at it again")
    yield Blanks(("Found: dry, damp, wet", "By whom, when, odometer"))


# -- what it stands on -----------------------------------------------------------------------------------


def _measurements(diagnosis: Diagnosis) -> Iterator[Block]:
    """What was read: the value as typed, its limit, what it came to, and the tool with its calibration."""
    entries = [e for e in diagnosis.case.standing if isinstance(e, _MEASURED)]
    if not entries:
        return
    heads = ("Entry", "What was read", "Limit, what it comes to", "Tool, calibrated until", "By whom, when")
    wide = (0.55, 1.9, 1.6, 1.3, 1.3)
    columns = tuple(Column(head, share, head == "Entry") for head, share in zip(heads, wide, strict=True))
    yield Heading("Measurements")
    yield Table("Readings with their tools", columns, tuple(_reading(diagnosis, entry) for entry in entries))
    for doubt in diagnosis.answers.doubts:
        relied = listed(f"entry {number}" for number in doubt.entries) or "no entry"
        yield Say(f"{doubt.name}: {percent(doubt.bad)} that it was bad; relied on by {relied}.", "Doubted")
    flange = flange_of(diagnosis.knowledge, diagnosis.case)
    if flange.is_measured:
        shows = "What was measured where round the joint, as one looks at the axle from the driveshaft"
        yield Picture(flange_svg(diagnosis.case, flange), shows)


def _reading(diagnosis: Diagnosis, entry: Reading | Measurement) -> tuple[str, ...]:
    knowledge = diagnosis.knowledge
    worked = [f"{w.name}: {w.answer_name}, {w.said}" for w in diagnosis.answers.worked_out if w.entry == entry.number]
    if isinstance(entry, Reading):
        measure = knowledge.signs[entry.sign].measure
        limit = _held_against(entry, measure) if measure else ""
        said = f"{knowledge.name(entry.sign)}: {entry.value} {entry.unit}".rstrip()
    else:
        limit = ""
        said = ", ".join(f"{field} {typed}" for field, typed in entry.readings.items())
    tool = f"{entry.tool or 'not written down'}, {entry.calibrated or 'date not written down'}"
    return str(entry.number), said, "; ".join(part for part in (limit, *worked) if part), tool, signed_by(entry)


def _held_against(entry: Reading, measure: Measure) -> str:
    """The limit, and on which side of it the reading is as it was typed."""
    over = beyond(entry.value, entry.unit, measure.limit, measure.unit, measure.beyond)
    return f"limit {measure.limit:g} {measure.unit}, {'beyond' if over else 'within'} it"


def _seen(diagnosis: Diagnosis) -> Iterator[Block]:
    """Everything seen, told and done that stands, as found, in the order written."""
    entries = [entry for entry in diagnosis.case.standing if isinstance(entry, _SEEN)]
    if entries:
        columns = (
            Column("Entry", 0.35, True),
            Column("What was seen, told or done", 2.6),
            Column("By whom, when", 1.2),
        )
        yield Heading("As found")
        yield Table(
            "What was seen, told and done, in the order written",
            columns,
            tuple(_said(diagnosis, entry) for entry in entries),
        )


def _said(diagnosis: Diagnosis, entry: LogEntry) -> tuple[str, ...]:
    note = f" - {entry.note}" if entry.note and not isinstance(entry, Note) else ""
    return str(entry.number), read_back(diagnosis.knowledge, entry) + note, signed_by(entry)


def _taken_back(diagnosis: Diagnosis) -> Iterator[Block]:
    """Entries that no longer stand; nothing is erased."""
    log = {entry.number: entry for entry in diagnosis.case.log}
    rows = [
        (str(number), read_back(diagnosis.knowledge, log[number]), f"entry {by}, {signed_by(log[by])}")
        for number, by in sorted(diagnosis.case.withdrawn.items())
        if not isinstance(log[number], Withdrawal)
    ]
    if rows:
        columns = (Column("Entry", 0.35, True), Column("What it said", 2.4), Column("Taken back by", 1.4))
        yield Heading("Taken back")
        yield Table("Entries that no longer stand", columns, tuple(rows))
