"""The answer as one colleague gives it to another: what cannot wait first, then where, what, how sure, what to do."""

from leakdx.case import Case
from leakdx.explain.page import USUAL, Page
from leakdx.explain.reasons import FIT_WORDS, quoted
from leakdx.explain.words import FAINT, answer_name, is_over, listed, not_agreed, percent, sure
from leakdx.explain.work import decision_and_work
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning import ties
from leakdx.reasoning.answer import Answers, CauseBelief, ObservationWeight
from leakdx.reasoning.diagnosis import Diagnosis

FOR_AND_AGAINST = 3
RUNNERS_UP = 3
SHOWN_FROM = 0.02
"""A runner-up less likely than this is not worth its line."""
LIKELY = 0.5
"""Above this a runner-up was so; only below it is it "also possible"."""
DEFERS = (
    "The axle maker's current service manual, local codes and the practice of whoever is licensed for the work go "
    "before everything on this sheet."
)
_COLUMN = 11
_HOW = {"fairly": " (fairly sure)", "by rule": " (follows by rule)", "worked out": " (worked out)"}


def technician_text(knowledge: Knowledge, case: Case, diagnosis: Diagnosis, width: int = USUAL) -> str:
    """The whole answer as plain text, no line wider than ``width``."""
    page = Page(width)
    _head(page, case)
    _comebacks(page, diagnosis)
    _safety(page, diagnosis)
    _what(page, diagnosis)
    _evidence(page, diagnosis)
    _worked_out(page, diagnosis)
    _doubts(page, diagnosis)
    decision_and_work(page, diagnosis)
    _foot(page, diagnosis)
    return page.text()


def _head(page: Page, case: Case) -> None:
    """Which truck, and what its driver said, in his words and marked as his."""
    truck = ", ".join(case.truck.values())
    page.title(" - ".join(part for part in (case.id, case.unit, truck) if part))
    if case.story:
        page.say(f'"{case.story}"', "Driver: ", indent=0)


def _comebacks(page: Page, diagnosis: Diagnosis) -> None:
    """What was repaired and came back; all that follows speaks of the last time."""
    for row in diagnosis.answers.comebacks:
        page.say(f"wet again at the {row.name} (entry {row.entry})", "Came back: ", indent=0)


# -- what cannot wait ------------------------------------------------------------------------------------


def _safety(page: Page, diagnosis: Diagnosis) -> None:
    """Fit to drive with its reason, then what must be written down before anything is destroyed."""
    knowledge, answers = diagnosis.knowledge, diagnosis.answers
    fit = answers.fit_to_drive
    page.head(FIT_WORDS[fit.answer])
    page.say(fit.reason + (f" (rule: {knowledge.name(fit.by)})" if fit.by else ""))
    if answers.holds:
        page.head("Hold", "before going on")
        for hold in answers.holds:
            page.say(hold.text, "[ ] ")
            missing = [c for c in hold.record if not diagnosis.timeline.made(knowledge, c)]
            if missing and len(missing) < len(hold.record):
                page.say(f"Still to do: {listed(quoted(knowledge, check) for check in missing)}.", indent=6)


# -- where and what --------------------------------------------------------------------------------------


def _what(page: Page, diagnosis: Diagnosis) -> None:
    """Where, family, cause, how sure; undecided where it is."""
    answers = diagnosis.answers
    page.head("What it looks like")
    _level(page, "Where", [(z.name, z.leaking_first) for z in answers.zones], answers.clear_at.level != "none")
    clear = answers.clear_at.level in ("cause", "family")
    _level(page, "Kind", [(f.name, f.leaking_first) for f in answers.families], clear)
    _cause(page, diagnosis)
    _pair(page, diagnosis)
    _now(page, answers)
    _settled(page, diagnosis)
    if answers.could_be_none_of_these.warn:
        chance = percent(answers.could_be_none_of_these.probability)
        page.say(f"it could be none of these: {chance} for something that is not listed", "Beware", column=_COLUMN)


def _level(page: Page, label: str, ranked: list[tuple[str, float]], clear: bool) -> None:
    """The likeliest where it is clear, with all that are likely beside it; otherwise the first few that could be."""
    if clear:
        name, chance = ranked[0]
        page.say(f"{name} - {sure(chance)}", label, column=_COLUMN)
        beside = [f"{name} {percent(chance)}" for name, chance in ranked[1:] if chance > LIKELY]
        if beside:
            page.say(f"and as well: {', '.join(beside)}", indent=2 + _COLUMN)
    else:
        shown = [f"{name} {percent(chance)}" for name, chance in ranked[:RUNNERS_UP] if chance >= SHOWN_FROM]
        page.say(f"not clear yet: {', '.join(shown)}", label, column=_COLUMN)


def _cause(page: Page, diagnosis: Diagnosis) -> None:
    """What is proved, then the leader with its runners-up and contributors, or the causes that it lies between."""
    answers = diagnosis.answers
    named = {cause.id: cause for cause in answers.causes}
    _seen_to_be_there(page, [named[id] for id in answers.established if id != answers.causes[0].id])
    between = [named[id] for id in answers.undecided_between]
    if not between:
        leader = answers.causes[0]
        page.say(f"{leader.name} - {sure(leader.leaking_first)}", "Cause", column=_COLUMN)
        _contributors(page, diagnosis, leader)
        runners_up = answers.causes[1 : RUNNERS_UP + 1]
        others = [c for c in runners_up if c.leaking_first >= SHOWN_FROM and c.id not in answers.established]
        for label, group in (
            ("was so too, and is over by now", [c for c in others if is_over(c) and c.leaking_first > LIKELY]),
            ("also likely", [c for c in others if not is_over(c) and c.leaking_first > LIKELY]),
            ("also possible", [c for c in others if c.leaking_first <= LIKELY]),
        ):
            if group:
                rest = ", ".join(f"{c.name} {percent(c.leaking_first)}" for c in group)
                page.say(f"{label}: {rest}", indent=2 + _COLUMN)
        return
    few = len(between) <= RUNNERS_UP
    page.say("most likely among:" if few else "undecided; the first of many:", "Cause", column=_COLUMN)
    for cause in between:
        page.figure(f"{cause.name}{_over(cause)}", percent(cause.leaking_first), "- ", indent=2 + _COLUMN)
    more = sum(c.leaking_first >= SHOWN_FROM for c in answers.causes) - len(between)
    if more > 0:
        page.say(f"and {more} more (leakdx why CASE NAME)", indent=2 + _COLUMN)


def _seen_to_be_there(page: Page, proved: list[CauseBelief]) -> None:
    """What is proved beside the leader. It need not be what leaks, and the chance is for that."""
    there = [cause for cause in proved if cause.present_first > LIKELY]
    for place, cause in enumerate(sorted(there, key=lambda c: -ties.chance(c.leaking_first))):
        said = f"{cause.name}{_over(cause)} - proved; that it leaks by itself: {percent(cause.leaking_first)}"
        page.say(said, "" if place else "Seen", column=_COLUMN)


def _contributors(page: Page, diagnosis: Diagnosis, cause: CauseBelief) -> None:
    """What helped it along: causes that make it, and history that raised it."""
    knowledge = diagnosis.knowledge
    said = [
        f"{answer_name(knowledge, id, diagnosis.history[id])} ({knowledge.name(id)})"
        if id in knowledge.history
        else knowledge.name(id)
        for id in cause.contributors
    ]
    if said:
        page.say(f"made likelier by: {'; '.join(said)}", indent=2 + _COLUMN)


def _pair(page: Page, diagnosis: Diagnosis) -> None:
    """Two leaks at once, where that is the likeliest story."""
    answers = diagnosis.answers
    if answers.sets and len(answers.sets[0].causes) > 1:
        both = " and ".join(map(diagnosis.knowledge.name, answers.sets[0].causes))
        chance = percent(answers.sets[0].probability)
        when = " when it came in" if any(is_over(c) for c in answers.causes if c.id in answers.sets[0].causes) else ""
        page.say(f"more than one at once{when} is the likeliest story: {both} ({chance})", "Together", column=_COLUMN)


def _now(page: Page, answers: Answers) -> None:
    """What leaks now, where the leader was cured or washed off since it came in."""
    leader = answers.causes[0]
    if answers.undecided_between or not is_over(leader):
        return
    now = max(answers.causes, key=lambda c: c.leaking)
    said = f"that was so when it came in; {percent(leader.leaking)} that it still leaks"
    if now.leaking >= SHOWN_FROM:
        said += f". Most likely now: {now.name} ({percent(now.leaking)})"
    page.say(said, "Now", column=_COLUMN)


def _over(cause: CauseBelief) -> str:
    return " (over by now)" if is_over(cause) else ""


def _settled(page: Page, diagnosis: Diagnosis) -> None:
    """Causes that rules proved or ruled out, and what rules found in what was seen."""
    knowledge, answers = diagnosis.knowledge, diagnosis.answers
    unlikely = [c for c in answers.causes if c.id in answers.established and c.present_first <= LIKELY]
    against = {c.id: f", though all else speaks against it ({percent(c.present_first)})" for c in unlikely}
    for label, causes in (("Proved", answers.established), ("Ruled out", answers.excluded)):
        by_rule: dict[str, list[str]] = {}
        for cause, rule in causes.items():
            by_rule.setdefault(rule, []).append(knowledge.name(cause) + against.get(cause, ""))
        for place, (rule, names) in enumerate(by_rule.items()):
            said = f"{'; '.join(names)} (rule: {knowledge.name(rule)})"
            page.say(said, "" if place else label, column=_COLUMN)
    found = [knowledge.name(fact.id) for fact in diagnosis.run.derived if fact.kind == "finding"]
    if found:
        page.say("; ".join(found), "Follows", column=_COLUMN)
    for place, one in enumerate(diagnosis.overruled):
        page.say(not_agreed(knowledge, one), "" if place else "Not agreed", column=_COLUMN)


# -- for and against -------------------------------------------------------------------------------------


def _evidence(page: Page, diagnosis: Diagnosis) -> None:
    """The three answers that speak most for the leader, and the three against."""
    answers = diagnosis.answers
    leader = answers.causes[0]
    moved = [(o.decibans[leader.id], o) for o in answers.observations if leader.id in o.decibans]
    told = sorted((m for m in moved if abs(m[0]) >= FAINT), key=lambda m: -abs(m[0]))
    sides = [("For", [m for m in told if m[0] > 0]), ("Against", [m for m in told if m[0] < 0])]
    if not told:
        return
    page.head("Why", f"{leader.name} (10 dB: ten times the odds)")
    for label, side in sides:
        for place, (decibans, seen) in enumerate(side[:FOR_AND_AGAINST]):
            page.figure(_seen(diagnosis, seen), f"{decibans:+.1f} dB", label if place == 0 else "", 2, _COLUMN)
        if len(side) > FOR_AND_AGAINST:
            page.say(f"and {len(side) - FOR_AND_AGAINST} more, each weaker", indent=2 + _COLUMN)


def _seen(diagnosis: Diagnosis, seen: ObservationWeight) -> str:
    """An answer as it was given, and how sure."""
    name = answer_name(diagnosis.knowledge, seen.id, seen.answer)
    return f"{seen.name}: {name}{_HOW.get(seen.sure, '')}"


def _worked_out(page: Page, diagnosis: Diagnosis) -> None:
    """What raw readings came to, and how sure that is."""
    rows = diagnosis.answers.worked_out
    if rows:
        page.head("Worked out", "from the readings as they were taken")
    for row in rows:
        chance = row.chances[row.answer]
        page.figure(f"{row.name} (entry {row.entry}): {row.answer_name}", percent(chance), "- ")
        page.say(f"{row.said}", indent=4)


def _doubts(page: Page, diagnosis: Diagnosis) -> None:
    """What is doubted, how much by now, and every entry that relies on it."""
    doubts = diagnosis.answers.doubts
    if doubts:
        page.head("Doubted", "what relied on it counts for less")
    for doubt in doubts:
        page.figure(f"{doubt.name}: {doubt.chance:.0%} that it was bad as stated, by now", percent(doubt.bad), "- ")
        entries = [f"entry {number}" for number in doubt.entries]
        page.say(f"relied on by {listed(entries)}" if entries else "nothing relied on it so far", indent=4)


def _foot(page: Page, diagnosis: Diagnosis) -> None:
    answers = diagnosis.answers
    page.blank()
    page.say(DEFERS, indent=0)
    page.say(
        f"leakdx {answers.version}, knowledge {answers.knowledge[:8]}. Every line can be asked: leakdx why CASE NAME",
        indent=0,
    )
