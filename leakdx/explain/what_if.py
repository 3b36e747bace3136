"""What if: two diagnoses of one truck beside one another, as it stands and with answers that are only tried."""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from leakdx.explain.glance import Moved, moved, moved_words
from leakdx.explain.page import USUAL, Page
from leakdx.explain.reasons import FIT_WORDS, scope_words
from leakdx.explain.words import money, path_name, percent
from leakdx.explain.work import DECISION_WORDS
from leakdx.reasoning.answer import Answers, Forbidden
from leakdx.reasoning.diagnosis import Diagnosis

MOVED_SHOWN = 5


class WhatIf(Struct, frozen=True):
    """What differs. ``tried``: in words. Pairs are (as it stands, with what is tried), equal where nothing changed."""

    tried: tuple[str, ...]
    fit_to_drive: tuple[str, str]
    leader: tuple[str, str]
    decision: tuple[str, str]
    next_check: tuple[str | None, str | None]
    repair: tuple[tuple[str, ...], tuple[str, ...]]
    p_hold: tuple[float | None, float | None]
    expected_cost: tuple[float | None, float | None]
    moved: tuple[Moved, ...]
    new_holds: tuple[str, ...]
    holds_gone: tuple[str, ...]
    newly_forbidden: tuple[Forbidden, ...]
    no_longer_forbidden: tuple[Forbidden, ...]


def what_if(before: Diagnosis, after: Diagnosis, tried: Iterable[str]) -> WhatIf:
    """Both answers compared."""
    was, now = before.answers, after.answers
    bans_were, bans_are = ({(b.rule, b.action): b for b in answers.forbidden} for answers in (was, now))
    holds_were, holds_are = ([hold.text for hold in answers.holds] for answers in (was, now))
    return WhatIf(
        tried=tuple(tried),
        fit_to_drive=(was.fit_to_drive.answer, now.fit_to_drive.answer),
        leader=(was.causes[0].id, now.causes[0].id),
        decision=(was.decision.do, now.decision.do),
        next_check=(_check(was), _check(now)),
        repair=(_actions(was), _actions(now)),
        p_hold=(_of_path(was, "p_hold"), _of_path(now, "p_hold")),
        expected_cost=(_of_path(was, "expected_cost"), _of_path(now, "expected_cost")),
        moved=moved(before, after),
        new_holds=tuple(hold for hold in holds_are if hold not in holds_were),
        holds_gone=tuple(hold for hold in holds_were if hold not in holds_are),
        newly_forbidden=tuple(ban for key, ban in bans_are.items() if key not in bans_were),
        no_longer_forbidden=tuple(ban for key, ban in bans_were.items() if key not in bans_are),
    )


def _check(answers: Answers) -> str | None:
    return answers.next_check.id if answers.next_check else None


def _actions(answers: Answers) -> tuple[str, ...]:
    return answers.repairs[0].actions if answers.repairs else ()


def _of_path(answers: Answers, field: str) -> float | None:
    return float(getattr(answers.repairs[0], field)) if answers.repairs else None


def what_if_text(before: Diagnosis, after: Diagnosis, found: WhatIf, width: int = USUAL) -> str:
    """What would be otherwise, safety first; what stays the same is said in one line."""
    case, knowledge = before.case, before.knowledge
    page = Page(width)
    page.title(" - ".join(part for part in (f"What if: {case.id}", case.unit) if part))
    page.head("Tried, not written down")
    page.bullets(found.tried)
    page.head("It would change" if _differs(found) else "It would change nothing that is shown here")
    same: list[str] = []

    def beside(what: str, pair: Sequence[str]) -> None:
        if pair[0] == pair[1]:
            same.append(f"{what}: {pair[1]}")
        else:
            page.say(f"{pair[0]} -> {pair[1]}", what.capitalize(), column=14)

    beside("fit to drive", [FIT_WORDS[answer] for answer in found.fit_to_drive])
    for head, holds in (("New hold", found.new_holds), ("Hold gone", found.holds_gone)):
        for hold in holds:
            page.say(hold, head, column=14)
    for head, bans in (("Barred", found.newly_forbidden), ("Not barred", found.no_longer_forbidden)):
        for ban in bans:
            words = scope_words(knowledge, ban.action, ban.scope, ban.of, ban.other)
            page.say(f"{words}. {ban.say}", head, column=14)
    beside("cause", [answers.causes[0].name for answers in (before.answers, after.answers)])
    for place, row in enumerate(found.moved[:MOVED_SHOWN]):
        page.figure(moved_words(row), f"{row.decibans:+.1f} dB", "" if place else "Moved", column=14)
    beside("decision", [DECISION_WORDS[do] for do in found.decision])
    beside("next check", [knowledge.name(check) if check else "none" for check in found.next_check])
    beside("repair", [_repair(made) for made in (before, after)])
    if same:
        page.head("It would stay")
        page.bullets(same)
    return page.text()


def _differs(found: WhatIf) -> bool:
    pairs = (found.fit_to_drive, found.leader, found.decision, found.next_check, found.repair)
    lists = (found.moved, found.new_holds, found.holds_gone, found.newly_forbidden, found.no_longer_forbidden)
    return any(before != after for before, after in pairs) or any(lists)


def _repair(made: Diagnosis) -> str:
    if not made.repairs:
        return "none that rules leave"
    path = made.repairs[0]
    cost = money(path.expected_cost, made.shop.currency)
    return f"{path_name(made.knowledge, path.actions)}, holds with {percent(path.p_hold)}, {cost} in expectation"
