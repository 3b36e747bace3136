"""The policy as a finite tree: from a case as it stands, check by check, to the repairs that it ends in.

Each branch is one joint result of the (at most three) weightiest signs of a check, with what the rules, the belief and
the planner make of the case then, looking one check ahead and asking for what is worth so many minutes. Branches that
are too rare are one leaf together, with the path that is best for all of them; so is what lies too deep. Either way the
live case goes on where the tree ends.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct, structs

from leakdx.case import Case
from leakdx.errors import CaseError
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning import ties
from leakdx.reasoning.answer import EVEN_CHANCE, NextCheck
from leakdx.reasoning.belief import Model
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.outlook import Outlook
from leakdx.reasoning.planning import Asked
from leakdx.reasoning.walk import gone_on

CUT, DEPTH, MOST_NODES = 1e-3, 8, 1500
FLOOR = 60.0
"""Minutes that a check has to be worth in a tree. With a live case's floor most of it would be last small looks."""
ONE_AHEAD = 0
"""Budget of the look-ahead in a tree: every state of it would be weighed as long as a live case."""
NO_CHANCE = 1e-9
"""A result with less chance than this, given what came before, gets no branch at all."""

ALIKE = 0.2
"""Results of a sign after which no cause's chance differs by more, and the best path is the same, are one branch."""
MOST_GAIN, MOST_WORTH = 8, 5
"""Checks that are weighed again one answer later: of the greatest gain, and of the greatest net value."""

Rows = tuple[int, ...]
Ends = Literal["decided", "rare", "deep"]


class Leaf(Struct, frozen=True):
    """Where a branch ends. ``do``: as of a decision; ``repair``: the best path then, which holds with ``p_hold``.

    ``minutes``: hands-on, of the repair; ``money``: its expected cost, comeback and what it leaves included.
    ``ends``: decided, or cut off since it is too rare or too deep.
    """

    do: str
    repair: tuple[str, ...]
    p_hold: float
    minutes: float
    money: float
    ends: Ends


class Branch(Struct, frozen=True):
    """A state of the case. ``answers``: what led here (empty for several rare results together).

    ``probability``: of getting here from the root; ``minutes`` and ``money``: what looking took on the way, hands-on at
    mid-range. One of ``check`` and ``leaf`` is None.
    """

    answers: tuple[Mapping[str, str], ...]
    probability: float
    minutes: float
    money: float
    leader: str
    leader_probability: float
    zone: str
    check: str | None
    opens: tuple[str, ...]
    leaf: Leaf | None
    below: tuple["Branch", ...]

    def walk(self) -> Iterator["Branch"]:
        """This branch and all below it."""
        yield self
        for branch in self.below:
            yield from branch.walk()

    def leaves(self) -> Iterator[tuple["Branch", Leaf]]:
        """The ends, each with its branch."""
        for branch in self.walk():
            if branch.leaf is not None:
                yield branch, branch.leaf


class Summary(Struct, frozen=True):
    """A tree in figures. ``minutes`` and ``money``: expected, looking and repair together; ``checks``: expected.

    ``cut_rare`` and ``cut_deep``: the chance of ending where the tree was cut.
    """

    nodes: int
    leaves: int
    depth: int
    cut_rare: float
    cut_deep: float
    checks: float
    minutes: float
    money: float
    p_hold: float


class Limits(Struct, frozen=True):
    """Where a tree is cut: branches rarer than ``cut``, answers beyond ``depth``, and no more than ``most`` nodes.

    ``floor``: minutes that a check has to be worth; below it the branch is decided.
    """

    cut: float = CUT
    depth: int = DEPTH
    most: int = MOST_NODES
    floor: float = FLOOR


class Reached(Struct, frozen=True):
    """How a state is reached: what led to it, how probably, what looking took on the way, after how many answers."""

    answers: tuple[Mapping[str, str], ...] = ()
    probability: float = 1.0
    minutes: float = 0.0
    money: float = 0.0
    level: int = 0


class Compiler:
    """Compiles the tree of one case after another with one compiled knowledge."""

    def __init__(self, knowledge: Knowledge, model: Model | None = None, limits: Limits | None = None) -> None:
        self.model, self.limits = model, limits or Limits()
        shops = {id: structs.replace(shop, floor_minutes=self.limits.floor) for id, shop in knowledge.shops.items()}
        self.knowledge = structs.replace(knowledge, shops=shops)
        self._made = 0

    def compile(self, case: Case) -> Branch:
        """The tree of a case as it stands. Raises CaseError where its own answers exclude one another."""
        self._made = 0
        return self._branch(self._diagnosed(case), Reached())

    def _diagnosed(self, case: Case, passed_over: Collection[str] = ()) -> Diagnosis:
        return diagnose(self.knowledge, case, self.model, passed_over, budget=ONE_AHEAD)

    def _branch(self, now: Diagnosis, reached: Reached) -> Branch:
        """A state with all that follows from it."""
        self._made += 1
        check = now.next_check if now.decision.do == "look_further" else None
        too_deep = reached.level >= self.limits.depth or self._made >= self.limits.most
        if check is None or too_deep:
            return _end(now, reached, "decided" if check is None else "deep")
        below = tuple(self._below(now, check, reached))
        return _state(now, reached, check=check.id, opens=check.opens, below=below)

    def _below(self, now: Diagnosis, check: NextCheck, reached: Reached) -> Iterator[Branch]:
        """A branch for each result that is likely enough, the likeliest first, and one for all others together."""
        asked = next((a for a in now.plan.checks if a.check == check.id), None)
        over = _hardly_worth(now)
        rare: list[tuple[Rows, Reached]] = []
        for rows, after in _after(now, check, asked, reached):
            if after.probability < self.limits.cut:
                rare.append((rows, after))
                continue
            try:
                case = gone_on(now, check.id, after.answers[0])
                yield self._branch(self._diagnosed(case, over), after)
            except CaseError:  # what the look-ahead holds possible, causes left out, the whole belief may not
                rare.append((rows, after))
        if rare:
            yield _rare(now, asked, rare)


def _hardly_worth(now: Diagnosis) -> frozenset[str]:
    """Checks that are not weighed one answer later: neither worth much now, nor near to being worth their cost."""
    checks = now.plan.checks
    by_gain = sorted(checks, key=lambda asked: -ties.money(asked.gain))[:MOST_GAIN]
    kept = {asked.check for asked in (*by_gain, *checks[:MOST_WORTH])}
    return frozenset(asked.check for asked in checks if asked.check not in kept)


def _after(now: Diagnosis, check: NextCheck, asked: Asked | None, reached: Reached) -> list[tuple[Rows, Reached]]:
    """What a check's weightiest signs may show, likeliest first, each with its rows of the outlook."""
    signs, outlook = (asked.signs, asked.outlook) if asked else now.planner.results(check.id)
    planner, entry = now.planner, now.knowledge.checks[check.id]
    minutes = reached.minutes + sum(entry.minutes) / 2 + sum(check.access_minutes) / 2
    money = reached.money + planner.check_cost(entry) + planner.access_cost(planner.opens(entry))
    if outlook is None:
        return [((), Reached(({},), reached.probability, minutes, money, reached.level))]
    rows = [row for row, chance in enumerate(outlook.probability) if chance > NO_CHANCE]
    best = asked.best if asked else (0,) * len(outlook.answers)
    found, parts = [], _told_apart(signs, rows, outlook, best)
    level = reached.level + (len(parts) > 1)
    for answers, of_them in parts:
        chance = reached.probability * float(outlook.probability[list(of_them)].sum())
        found.append((of_them, Reached((answers,), chance, minutes, money, level)))
    return sorted(found, key=lambda pair: -pair[1].probability)


def _told_apart(
    signs: Sequence[str], rows: Sequence[int], outlook: Outlook, best: Sequence[int], place: int = 0
) -> list[tuple[dict[str, str], Rows]]:
    """Joint results as few branches: a sign counts only where its answers lead to other repairs or other chances."""
    if place == len(signs) or len(rows) < 2:
        return [({}, tuple(rows))]
    by_answer: dict[str, list[int]] = {}
    for row in rows:
        by_answer.setdefault(outlook.answers[row][place], []).append(row)
    parts = {a: _told_apart(signs, of_it, outlook, best, place + 1) for a, of_it in by_answer.items()}
    if all(len(part) == 1 for part in parts.values()) and _is_alike(rows, outlook, best):
        return [({}, tuple(rows))]
    return [({signs[place]: a, **answers}, of_it) for a, part in parts.items() for answers, of_it in part]


def _is_alike(rows: Sequence[int], outlook: Outlook, best: Sequence[int]) -> bool:
    """Whether it makes no difference which of these results comes."""
    chances = outlook.leaking_first[list(rows)]
    return len({best[row] for row in rows}) == 1 and float(np.ptp(chances, axis=0).max()) < ALIKE


def _end(now: Diagnosis, reached: Reached, ends: Ends) -> Branch:
    """A branch that ends here, with the best repair as the case stands."""
    decision, repairs = now.decision, now.repairs
    if not repairs:
        return _state(now, reached, leaf=Leaf(decision.do, (), 0.0, 0.0, now.shop.stop_and_ask_price, ends))
    best = repairs[0]
    stops = decision.do == "stop_and_ask"
    money = now.shop.stop_and_ask_price if stops else best.expected_cost
    leaf = Leaf(decision.do, best.actions, best.p_hold, sum(best.minutes) / 2, money, ends)
    return _state(now, reached, leaf=leaf)


def _rare(now: Diagnosis, asked: Asked | None, rare: Sequence[tuple[Rows, Reached]]) -> Branch:
    """Results that are too rare for branches of their own, with what is best for all of them together."""
    reached = [after for _, after in rare]
    whole = structs.replace(
        reached[0],
        answers=tuple(answers for after in reached for answers in after.answers),
        probability=sum(after.probability for after in reached),
    )
    if asked is None:
        return _end(now, whole, "rare")
    path, hold, cost = now.planner.best_after(asked, [row for rows, _ in rare for row in rows])
    minutes = sum(now.means.minutes(path, now.means.open_now | asked.opens)) / 2
    do = "repair" if hold >= EVEN_CHANCE else "look_further"
    return _state(now, whole, leaf=Leaf(do, path.actions, hold, minutes, cost, "rare"))


def _state(
    now: Diagnosis,
    reached: Reached,
    *,
    check: str | None = None,
    opens: tuple[str, ...] = (),
    leaf: Leaf | None = None,
    below: tuple[Branch, ...] = (),
) -> Branch:
    leader = ties.likeliest(now.belief.leaking_first)
    return Branch(
        answers=reached.answers,
        probability=reached.probability,
        minutes=reached.minutes,
        money=reached.money,
        leader=now.belief.causes[leader],
        leader_probability=float(now.belief.leaking_first[leader]),
        zone=now.belief.model.zones[ties.likeliest(now.belief.zones()[1])],
        check=check,
        opens=opens,
        leaf=leaf,
        below=below,
    )


def summary(tree: Branch) -> Summary:
    """A tree in figures."""
    ends = list(tree.leaves())
    return Summary(
        nodes=sum(1 for _ in tree.walk()),
        leaves=len(ends),
        depth=_depth(tree),
        cut_rare=sum(branch.probability for branch, leaf in ends if leaf.ends == "rare"),
        cut_deep=sum(branch.probability for branch, leaf in ends if leaf.ends == "deep"),
        checks=sum(branch.probability for branch in tree.walk() if branch.check),
        minutes=sum(branch.probability * (branch.minutes + leaf.minutes) for branch, leaf in ends),
        money=sum(branch.probability * (branch.money + leaf.money) for branch, leaf in ends),
        p_hold=sum(branch.probability * leaf.p_hold for branch, leaf in ends),
    )


def _depth(tree: Branch) -> int:
    return 1 + max(map(_depth, tree.below)) if tree.below else 0
