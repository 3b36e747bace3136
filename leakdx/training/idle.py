"""Which pieces of a knowledge do nothing: taken out in turn, none of the cases comes to anything else.

A piece is at work where, without it, some case meets other claims than before, recommends another path, asks for
another check, or holds with a chance that differs by .02 or more. Only cases that a piece can reach are diagnosed
anew, those first in which it weighs most, and the first that moves ends the search. What is passed over without
being planned anew: a case for which rules, evidence and orders are just as before, and one in which no cause
moves by .0005 through a link or shift.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import chain, islice

import numpy as np
from msgspec import Struct, structs
from numpy.typing import NDArray

from leakdx.case import Case
from leakdx.errors import LeakdxError
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.compiled import Model, compile_links
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.shares import ShareError, compile_model, solve
from leakdx.training.body import Truck
from leakdx.training.expectation import CLAIMS, Expectation
from leakdx.training.items import Item, items, told_without, without
from leakdx.training.judge import SAID, judge

HOLD_MOVES = 0.02
STANDS_STILL = 0.0005
"""Change of every cause's chance below which a case is not planned anew."""
HARDLY_THERE = 0.01
"""A cause less likely than this does not decide by a sign that was not answered what is asked next."""
MOST_ASKED = 10
"""So many cases, those in which its cause is likeliest, weigh a sign as a next question that was not answered."""
_REFUSED = "refused"
_MOVES_BASES = ("leads_to", "also_zone")
"""Kinds that the complaint alone depends on: without them other base chances meet the shares."""


class Outcome(Struct, frozen=True):
    """What a case comes to, as far as it counts here. ``failed``: claims not met."""

    path: tuple[str, ...] = ()
    next_check: str | None = None
    hold: float = 0.0
    failed: frozenset[str] = frozenset()


class Moved(Struct, frozen=True):
    """What became of the cases without a piece: the first that moved, and in what; both empty: it is idle."""

    item: Item
    case: str = ""
    what: str = ""

    @property
    def idle(self) -> bool:
        """Whether nothing moved."""
        return not self.case


class State(Struct, frozen=True, dict=True):
    """A case with the whole knowledge, at its end or (``is_earlier``) before an entry of its log.

    Nothing is expected of an earlier one. Parts are worked out when first asked for; the diagnosis is let go again.
    """

    knowledge: Knowledge
    case: Case
    expectation: Expectation | None
    is_earlier: bool = False

    @cached_property
    def seen(self) -> "Seen":
        """What of it a piece could reach; cheap."""
        made = diagnose(self.knowledge, self.case)
        signs = made.evidence.signs
        return Seen(
            orders=_orders(made),
            fired=frozenset(firing.rule for firing in made.run.firings),
            answered=frozenset(sign.sign for sign in signs),
            askable=frozenset(made.evidence.askable),
            history=made.history,
            entered={**{h.group: h.entry for h in made.evidence.history}, **{s.sign: s.entry for s in reversed(signs)}},
        )

    @cached_property
    def questions(self) -> tuple[tuple[str, ...], ...]:
        """Signs that are weighed together for what is asked next."""
        return diagnose(self.knowledge, self.case).planner.questions

    @cached_property
    def chances(self) -> NDArray[np.float64]:
        """[2, C] of being there and of leaking, by cause."""
        return _chances(diagnose(self.knowledge, self.case))

    @cached_property
    def outcome(self) -> Outcome | None:
        """What it comes to; None where it is refused as it stands."""
        try:
            return _outcome(diagnose(self.knowledge, self.case), self.expectation)
        except LeakdxError:
            return None


class Seen(Struct, frozen=True):
    """What of a case a piece could reach."""

    orders: tuple[tuple[object, ...], tuple[object, ...]]
    fired: frozenset[str]
    answered: frozenset[str]
    askable: frozenset[str]
    history: Mapping[str, str]
    entered: Mapping[str, int]
    """Sign or history group -> the entry that it was (first) answered with."""


class Removal:
    """The removal test of one knowledge on one body of cases."""

    def __init__(self, knowledge: Knowledge, trucks: Iterable[Truck]) -> None:
        self.knowledge = knowledge
        self.model = compile_model(knowledge)
        self.position = {cause: i for i, cause in enumerate(self.model.causes)}
        states = [State(knowledge, truck.case, truck.expectation) for truck in trucks]
        self.states = tuple(state for state in states if state.outcome is not None)
        self._halfway: dict[tuple[int, int], State] = {}

    @cached_property
    def earlier(self) -> tuple[State, ...]:
        """Every case before each entry of its log."""
        return tuple(self._before(state, length) for state in self.states for length in range(len(state.case.log)))

    def _before(self, state: State, length: int) -> State:
        """The case when its log had this many entries."""
        key = (id(state), length)
        if key not in self._halfway:
            case = structs.replace(state.case, log=state.case.log[:length])
            self._halfway[key] = State(self.knowledge, case, None, is_earlier=True)
        return self._halfway[key]

    def _as_entered(self, states: Iterable[State], what: str) -> Iterator[State]:
        """The cases as they were when the answer had just been entered, before others had their say."""
        for state in states:
            length = state.seen.entered.get(what, 0)
            if 0 < length < len(state.case.log):
                yield self._before(state, length)

    def all(self) -> Iterator[Moved]:
        """Every piece in turn."""
        return (self.of(item) for item in items(self.knowledge))

    def of(self, item: Item) -> Moved:
        """What moves without this piece."""
        knowledge = without(self.knowledge, item)
        try:
            model = self._model(knowledge, item)
        except ShareError:
            return Moved(item, "shares", "cannot be met")
        moves = chain(
            ((state, _what_is_said(state, knowledge)) for state in self._fired(item)),
            ((state, _what_moves(state, item, knowledge, model)) for state in self._reached(item)),
        )
        return next((Moved(item, state.case.id, what) for state, what in moves if what), Moved(item))

    def _fired(self, item: Item) -> Iterator[State]:
        """Cases in which a rule fires at the end. What it says is known without weighing, and asked first."""
        return (s for s in self.states if item.kind == "rule" and item.where[0] in s.seen.fired)

    def _model(self, knowledge: Knowledge, item: Item) -> Model:
        """The base chances stay where a piece says nothing about the complaint alone."""
        model = compile_links(knowledge)
        return model.with_log_odds(solve(model) if item.kind in _MOVES_BASES else self.model.log_odds)

    def _reached(self, item: Item) -> Iterator[State]:
        """Cases that the piece can reach, those first in which it weighs most.

        A rule whose word is past at the end of a log (look before you wash) is tried before the end too, and an
        answer that others have since outweighed as it was when it had just been given.
        """
        id = item.where[0]
        if item.kind == "rule":
            return (s for some in (self.states, self.earlier) for s in some if id in s.seen.fired)
        if item.kind in ("shift", "answer"):
            told = [s for s in self.states if _is_told(s.seen.history.get(id), item)]
            return chain(told, self._as_entered(told, id))
        place = self.position[id]
        likeliest = sorted(self.states, key=lambda s: -s.chances[0, place])
        if item.kind != "link":
            return iter(likeliest)
        sign = item.where[1]
        answered = [s for s in likeliest if sign in s.seen.answered]
        open_to_ask = (s for s in likeliest if sign in s.seen.askable - s.seen.answered)
        likely_enough = islice((s for s in open_to_ask if s.chances[0, place] > HARDLY_THERE), MOST_ASKED)
        return chain(answered, self._as_entered(answered, sign), likely_enough)


def _is_told(answer: str | None, item: Item) -> bool:
    """Whether a case with this answer to the question of a shift or an answer can miss it."""
    return answer is not None and (item.kind == "shift" or answer == item.where[1])


def _what_is_said(state: State, knowledge: Knowledge) -> str:
    """Which claims on what rules alone say are met otherwise by this knowledge."""
    assert state.outcome is not None  # a case that is refused as it stands is none of the test's
    failed = _failed(diagnose(knowledge, state.case), state.expectation, SAID)
    return " and ".join(sorted(failed ^ (state.outcome.failed & set(SAID))))


def _what_moves(state: State, item: Item, knowledge: Knowledge, model: Model) -> str:
    """In what the case differs without the piece, in a word or two; empty where in nothing that counts."""
    try:
        made = diagnose(knowledge, told_without(state.case, item), model)
        if _is_as_before(made, state, item) or state.outcome is None:
            return ""
        what = _difference(state.outcome, _outcome(made, state.expectation))
    except LeakdxError:
        what = _REFUSED
    return f"{what}, before entry {len(state.case.log) + 1}" if what and state.is_earlier else what


def _is_as_before(made: Diagnosis, state: State, item: Item) -> bool:
    """Whether nothing can have moved, which is known without planning anew."""
    if item.kind == "rule":
        as_planned, as_judged = _orders(made)
        return as_planned == state.seen.orders[0] and (state.is_earlier or as_judged == state.seen.orders[1])
    if item.kind == "shift":
        return _stands_still(made, state)
    if item.kind == "link":
        sign = item.where[1]
        if sign in state.seen.answered and not _stands_still(made, state):
            return False
        asked = {s for question in (*made.planner.questions, *state.questions) for s in question}
        return made.planner.questions == state.questions and sign not in asked
    return False


def _stands_still(made: Diagnosis, state: State) -> bool:
    return float(np.abs(_chances(made) - state.chances).max()) < STANDS_STILL


def _orders(made: Diagnosis) -> tuple[tuple[object, ...], tuple[object, ...]]:
    """What rules, whichever, bring to a case: what it is planned by, and what is only said and judged."""
    orders = made.orders
    as_planned = (
        made.evidence,
        made.fit_to_drive.answer == "no",
        {(hold.text, hold.before, hold.record) for hold in made.holds},
        {(ban.action, ban.scope, ban.of, ban.other) for ban in made.forbidden},
        {said.id for said in orders.required()},
        {said.id for said in orders.put_right()},
    )
    as_judged = (
        made.fit_to_drive.answer,
        {said.id for said in orders.cautions()},
        set(orders.established()),
        set(orders.excluded()),
    )
    return as_planned, as_judged


def _chances(made: Diagnosis) -> NDArray[np.float64]:
    return np.stack([made.belief.present, made.belief.leaking])


def _outcome(made: Diagnosis, expectation: Expectation | None) -> Outcome:
    best = made.repairs[0] if made.repairs else None
    check = made.next_check.id if made.next_check else None
    return Outcome(best.actions if best else (), check, best.p_hold if best else 0.0, _failed(made, expectation))


def _failed(made: Diagnosis, expectation: Expectation | None, claims: Sequence[str] = CLAIMS) -> frozenset[str]:
    """The claims that are not met."""
    return frozenset(failure.claim for failure in judge(made, expectation, claims)) if expectation else frozenset()


def _difference(before: Outcome, after: Outcome) -> str:
    if before.failed != after.failed:
        return " and ".join(sorted(before.failed ^ after.failed))
    if before.path != after.path:
        return "path"
    if before.next_check != after.next_check:
        return "next check"
    return "P(hold)" if abs(before.hold - after.hold) >= HOLD_MOVES else ""
