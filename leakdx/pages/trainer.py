"""The reasoning page for the trainer: everything, with rule names and numbers, down to the entries of the log."""

from collections.abc import Iterator

from leakdx.diagrams.engine import DiagramError
from leakdx.diagrams.reasoning import reasoning_svg
from leakdx.explain.paths import barred_words, path_cards
from leakdx.explain.reasons import FIT_WORDS, because, fired, rule_words
from leakdx.explain.tree import Branch
from leakdx.explain.what_changes import then_words
from leakdx.explain.why_action import about_check, about_repair
from leakdx.explain.why_belief import about_cause
from leakdx.explain.why_not import not_this_repair, stands_against
from leakdx.explain.words import best_then, minutes, outcome, percent, sure
from leakdx.explain.work import DECISION_WORDS
from leakdx.knowledge.actions import Conclusion
from leakdx.knowledge.model import NOT_LISTED
from leakdx.pages.customer import TONES
from leakdx.pages.document import Block, Column, Document, Facts, Heading, Notice, Picture, Points, Say, Table, Tree
from leakdx.pages.front import about_truck, foot, truck_name
from leakdx.reasoning.answer import NextCheck, Outcome
from leakdx.reasoning.barred_then import barred_then
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.next_check import spoken

SHOWN_FROM = 0.01
"""A cause less likely than this, brought in and now, is not worth its line, nor is a result of a look."""
RIVALS = 3
"""Causes after the first of which it is said what stands against them."""
CHANGES = 15
"""Results that would change it, at most."""


def trainer_page(diagnosis: Diagnosis) -> Document:
    """The page of one case."""
    check = diagnosis.answers.next_check
    blocks = [
        *_answer(diagnosis),
        *_picture(diagnosis),
        *_causes(diagnosis),
        *_weights(diagnosis),
        *_trees(diagnosis),
        *_why_not(diagnosis),
        *_would_change(diagnosis),
        *(_check(diagnosis, check) if check else ()),
        *_paths(diagnosis),
        *_rules(diagnosis),
    ]
    title = f"Reasoning: {truck_name(diagnosis)}"
    return Document(title=title, about=about_truck(diagnosis), blocks=tuple(blocks), foot=foot(diagnosis))


def _answer(diagnosis: Diagnosis) -> Iterator[Block]:
    """Fit to drive, and the answer at each level with how clear it is."""
    answers, knowledge = diagnosis.answers, diagnosis.knowledge
    fit, clear, leader = answers.fit_to_drive, answers.clear_at, answers.causes[0]
    by = f" (rule: {knowledge.name(fit.by)})" if fit.by else ""
    yield Notice(TONES[fit.answer], FIT_WORDS[fit.answer].upper(), f"{fit.reason}{by}")
    rules = f" (rule: {'; '.join(map(knowledge.name, answers.decision.rules))})" if answers.decision.rules else ""
    together = [f"{' and '.join(map(knowledge.name, s.causes)) or 'nothing'} {percent(s.probability)}"
                for s in answers.sets]  # fmt: skip
    yield Facts(
        (
            (
                "Clear at",
                f"{clear.level}: {clear.name}, {percent(clear.probability or 0.0)}" if clear.name else clear.level,
            ),
            ("Where", f"{answers.zones[0].name}, {sure(answers.zones[0].leaking_first)}"),
            ("Family", f"{answers.families[0].name}, {sure(answers.families[0].leaking_first)}"),
            ("Cause", f"{leader.name}, {sure(leader.leaking_first)}"),
            ("Exactly these leaked", "; ".join(together)),
            ("Something not listed", percent(answers.could_be_none_of_these.probability)),
            ("Decision", f"{DECISION_WORDS[answers.decision.do]}: {answers.decision.reason}{rules}"),
        )
    )


def _picture(diagnosis: Diagnosis) -> Iterator[Block]:
    """The reasons as a diagram; the words below say the same where no engine is there to draw it."""
    yield Heading("The reasons as a picture")
    try:
        drawn = reasoning_svg(diagnosis.knowledge, diagnosis.case, diagnosis).decode("utf-8")
    except DiagramError as error:
        yield Say(f"There is no picture: {error}. What it would show stands below in words.")
    else:
        yield Picture(drawn, "Observations, rules, causes and what is to be done, with what stands on what")


def _causes(diagnosis: Diagnosis) -> Iterator[Block]:
    answers, knowledge = diagnosis.answers, diagnosis.knowledge
    rows = [c for c in answers.causes if max(c.leaking_first, c.leaking) >= SHOWN_FROM or c.id in answers.established]
    columns = (Column("Cause", 2.2), Column("Leaked when it came in", 1.0, True), Column("Leaks now", 0.8, True),
               Column("There at all", 0.8, True), Column("Made likelier by", 1.8))  # fmt: skip
    yield Heading("How likely each cause is")
    yield Table(
        f"Causes of at least {percent(SHOWN_FROM)}; {len(answers.causes) - len(rows)} are less likely",
        columns,
        tuple(
            (c.name, percent(c.leaking_first), percent(c.leaking), percent(c.present),
             "; ".join(map(knowledge.name, c.contributors)))
            for c in rows
        ),
    )  # fmt: skip
    for label, settled in (("Proved", answers.established), ("Ruled out", answers.excluded)):
        if settled:
            said = (f"{knowledge.name(cause)} (rule: {knowledge.name(rule)})" for cause, rule in settled.items())
            yield Say("; ".join(said), label)


def _weights(diagnosis: Diagnosis) -> Iterator[Block]:
    """What each answer did to the first and the second, in the order of entry."""
    answers = diagnosis.answers
    if not answers.observations:
        return
    first, second = answers.causes[0], answers.causes[1]
    columns = (Column("Entry", 0.5, True), Column("Answer", 2.8), Column("How sure", 0.8),
               Column(first.name, 1.1, True), Column(second.name, 1.1, True))  # fmt: skip
    rows = tuple(
        (str(seen.entry or "axle"), f"{seen.name}: {seen.answer_name}", seen.sure,
         *(f"{seen.decibans[c.id]:+.1f}" if c.id in seen.decibans else "settled" for c in (first, second)))
        for seen in answers.observations
    )  # fmt: skip
    yield Heading("What each answer did")
    yield Table("Decibans in the order of entry; 10 dB are ten times the odds", columns, rows)


def _trees(diagnosis: Diagnosis) -> Iterator[Block]:
    """Why the first, what speaks for and against the second, why the repair, fit to drive and the holds."""
    answers = diagnosis.answers
    first, second = answers.causes[0], answers.causes[1]
    yield Heading(f"Why {first.name}")
    yield Tree(about_cause(diagnosis, first.id))
    yield Heading(f"What is second: {second.name}")
    yield Tree(about_cause(diagnosis, second.id))
    if answers.decision.do == "repair" and answers.repairs:
        for action in answers.repairs[0].actions:
            yield Heading(f"Why {diagnosis.knowledge.name(action)}")
            yield Tree(about_repair(diagnosis, action))
    said = [one for firing in diagnosis.run.firings for one in firing.says]
    for head, about in (
        ("Why this fit to drive", [s for s in said if s.fit == diagnosis.fit_to_drive.answer]),
        ("Why these holds", [s for s in said if s.hold in {hold.text for hold in diagnosis.holds}]),
    ):
        if about:
            yield Heading(head)
            yield Tree(_all_of(diagnosis, about))


def _all_of(diagnosis: Diagnosis, said: list[Conclusion]) -> Branch:
    branches = tuple(because(diagnosis, one) for one in dict.fromkeys(said))
    return branches[0] if len(branches) == 1 else Branch("each of these", branches)


def _why_not(diagnosis: Diagnosis) -> Iterator[Block]:
    """What stands against the rivals of the first, and against the repair that comes next."""
    answers = diagnosis.answers
    rivals = [c.id for c in answers.causes[1 : 1 + RIVALS] if c.leaking_first >= SHOWN_FROM and c.id != NOT_LISTED]
    if rivals:
        yield Heading("Why not the others")
    yield from (Tree(stands_against(diagnosis, rival)) for rival in rivals)
    chosen = set(answers.repairs[0].actions) if answers.repairs else set()
    others = (action for path in answers.repairs[1:] for action in path.actions if action not in chosen)
    yield from (Tree(not_this_repair(diagnosis, other)) for other in list(dict.fromkeys(others))[:1])


def _would_change(diagnosis: Diagnosis) -> Iterator[Block]:
    """Results of one look still to be had after which another cause leads or something else is to be done."""
    rows = []
    for look in sorted((spoken(diagnosis.planner, a) for a in diagnosis.plan.checks), key=lambda c: sum(c.minutes)):
        for found in look.outcomes:
            leads, does = _otherwise(diagnosis, found)
            if found.probability >= SHOWN_FROM and (leads or does):
                result = outcome(diagnosis.knowledge, found.answers)
                rows.append((f"{look.name} ({minutes(look.minutes)})", result, percent(found.probability), leads, does))
    yield Heading("What would change it")
    if not rows:
        yield Say("No single look still to be had would change what leads or what is to be done.")
        return
    columns = (Column("Look", 1.6), Column("Result", 1.8), Column("Chance", 0.6, True), Column("Then leads", 1.4),
               Column("To be done then", 2.0))  # fmt: skip
    more = f", the first {CHANGES} of {len(rows)}" if len(rows) > CHANGES else ""
    yield Table(f"Looks still to be had, the cheapest first{more}; an empty cell: as it is now", columns,
                tuple(rows[:CHANGES]))  # fmt: skip


def _otherwise(diagnosis: Diagnosis, found: Outcome) -> tuple[str, str]:
    """What leads after a result, and what is to be done; "" where that is so now."""
    knowledge, answers = diagnosis.knowledge, diagnosis.answers
    leads, does = "", ""
    if found.leader != answers.causes[0].id:
        leads = f"{knowledge.name(found.leader)} {percent(found.leader_probability)}"
    repair = answers.repairs[0].actions if answers.repairs and answers.decision.do == "repair" else None
    if found.decides and found.repair != repair:
        does = then_words(knowledge, found.repair, repair or ())
    elif not found.decides and repair is not None:
        does = "look further"
    return leads, does


def _check(diagnosis: Diagnosis, check: NextCheck) -> Iterator[Block]:
    knowledge = diagnosis.knowledge
    yield Heading(f"Next check: {check.name}")
    columns = (Column("Result", 2.0), Column("Chance", 0.6, True), Column("Then leads", 1.8), Column("Best then", 2.0))
    rows = tuple(
        (outcome(knowledge, found.answers), percent(found.probability),
         f"{knowledge.name(found.leader)} {percent(found.leader_probability)}",
         best_then(knowledge, found, barred_then(diagnosis, found)))
        for found in check.outcomes
    )  # fmt: skip
    if rows:
        yield Table("What each result would change", columns, rows)
    yield Tree(about_check(diagnosis, check.id))


def _paths(diagnosis: Diagnosis) -> Iterator[Block]:
    cards = path_cards(diagnosis)
    if cards:
        columns = (Column("", 0.3), Column("Path", 2.2), Column("Holds", 1.1), Column("Work, waiting", 1.2),
                   Column("Expected cost", 1.0), Column("Does not fix", 1.6))  # fmt: skip
        rows = tuple(
            (card.letter, card.name, card.holds, ", ".join(t for t in (card.minutes, card.waiting) if t), card.cost,
             card.leaves)
            for card in cards
        )  # fmt: skip
        yield Heading("Repair paths")
        yield Table("The best paths side by side", columns, rows)
    barred = barred_words(diagnosis)
    if barred:
        yield Heading("Barred by rule", 3)
        yield Points(barred)


def _rules(diagnosis: Diagnosis) -> Iterator[Block]:
    """Every rule that fired, with what it stood on and what it said."""
    firings = diagnosis.run.firings
    if firings:
        yield Heading("Rules that fired, in their order")
    for firing in firings:
        yield Tree(Branch(rule_words(diagnosis.knowledge, firing.rule), fired(diagnosis, firing).below))
