"""What to do next: repair now, or look further, and at what.

A check is worth what it takes off the expected cost of the best repair, as often as it tells anything, less its own
minutes and the access that it opens. One step of look-ahead; exact. An answer never makes a repair dearer on average,
so the value before costs cannot be negative, unless the answer shows a leak where the truck would have been
left alone, or the joint is opened and has to be closed again.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import cached_property
from itertools import combinations

import numpy as np
from msgspec import Struct, structs
from numpy.typing import NDArray

from leakdx.errors import TooWideError
from leakdx.knowledge.model import NOT_LISTED, Check, Knowledge, Sign
from leakdx.reasoning import ties
from leakdx.reasoning.answer import EVEN_CHANCE
from leakdx.reasoning.belief import Belief, HistoryEvidence, Outlook
from leakdx.reasoning.repair import Means, Path, expected_costs, still_to_open

LIKELY = 0.05
MOST_LIKELY_CAUSES = 7
ESTABLISHED = 0.5
MOST_EXTRA_CAUSES = 3
SIGNS_TOGETHER = 3
AS_FOUND_FRACTION = 1 / 3
TELLS_NOTHING = 0.002
"""Weight (variance of a cause times the square of its link) below which a sign is not worth weighing."""
FAR_FETCHED = 0.003
"""A cause less likely than this gets no path of its own in the look-ahead."""
HARDLY_THERE = 0.01
"""A cause with less chance than this of being there is left out of the look-ahead."""
GESTURE = 0.1
"""A path that adds less than this to the chance of staying dry is a gesture, not a repair."""
HARDLY_CURES, CURES_NOTHING = 1, 2
PATHS_AT_HAND = 14
"""Best paths of the moment that the look-ahead weighs, beside the best single path of every cause."""


class Priced(Struct, frozen=True):
    """Paths with what they cost now. Arrays [P]; ``hold`` counts new leaks by closing."""

    paths: tuple[Path, ...]
    own: NDArray[np.float64]
    hold: NDArray[np.float64]
    cost: NDArray[np.float64]

    def best_first(self) -> list[int]:
        """Indices by expected cost; ties by fewer actions, then by name.

        Curing nothing stands last while a leak is more likely than not, and what hardly cures before it: a truck
        that leaks is not released as dry, nor after a gesture, however dear its repair.
        """
        keys = [
            (int(n), ties.money(float(c)), len(p.actions), p.actions)
            for c, n, p in zip(self.cost, neglect(self.paths, self.hold), self.paths, strict=True)
        ]
        return sorted(range(len(self.paths)), key=keys.__getitem__)


def neglect(paths: Sequence[Path], hold: NDArray[np.float64]) -> NDArray[np.int64]:
    """How far paths [..., P] neglect a leak likelier than not unless mended: wholly, all but wholly, or not (0)."""
    if not paths:
        return np.zeros(hold.shape, int)
    nothing = np.array([not p.cure.any() for p in paths], bool)
    least = hold[..., nothing].max(axis=-1, keepdims=True) if nothing.any() else hold.min(axis=-1, keepdims=True)
    degree = np.where(nothing, CURES_NOTHING, np.where(hold < least + GESTURE, HARDLY_CURES, 0))
    return np.where(np.minimum(hold, least) < EVEN_CHANCE, degree, 0)


NOTHING_PERMITTED = Priced((), np.empty(0), np.empty(0), np.empty(0))


class Asked(Struct, frozen=True):
    """A check that may be made now, weighed. Money; ``opens``: access still to be opened for it."""

    check: str
    signs: tuple[str, ...]
    opens: frozenset[str]
    gain: float
    net_value: float
    outlook: Outlook
    best: tuple[int, ...]
    """Per joint result, the index of the best path then, among ``paths``."""
    paths: tuple[Path, ...]
    with_more: float = -np.inf
    """Net value where more checks may follow it; minus infinity where nobody looked so far ahead."""
    then: tuple[str | None, ...] = ()
    """Per joint result, the check that is worth making next; None: none, or nobody looked so far ahead."""

    @property
    def worth(self) -> float:
        """Net value of the best that may begin with it: a repair after it, or more checks."""
        return max(self.net_value, self.with_more)


class Ahead(Struct, frozen=True):
    """Paths weighed after an answer, their hold multipliers [P, C, 3], and what the best costs before one.

    ``or_asking``: the same, or what asking costs where the maker would be asked now.
    """

    paths: tuple[Path, ...]
    multipliers: NDArray[np.float64]
    cost: float
    or_asking: float


class Plan(Struct, frozen=True):
    """Repair paths in order of expected cost, and the checks in order of net value."""

    priced: Priced
    checks: tuple[Asked, ...]
    uncurable: tuple[str, ...]
    """Causes above one half that no permitted path cures."""
    ahead: Ahead | None = None
    """What the checks were weighed by; None where none was."""
    too_long: tuple[Asked, ...] = ()
    """Checks that take longer than the time at hand, in order of net value."""


class Planner(Struct, frozen=True, dict=True):
    """The planning of one case. ``open_signs``: check -> its signs that may be asked now.

    ``at_hand``: the minutes that there are for looking; None: as many as it takes.
    """

    knowledge: Knowledge
    means: Means
    belief: Belief
    open_signs: Mapping[str, tuple[str, ...]]
    at_hand: float | None = None

    def plan(self) -> Plan:
        """Price all candidate paths and weigh all checks at hand."""
        if not self.priced.paths or not self.questions:
            return Plan(self.priced, (), self._uncurable())
        ahead = self._ahead(self.priced)
        weighed = self._weigh(ahead)
        fit, too_long = (
            tuple(a for a in weighed if self.fits([a.check], a.opens) == is_short) for is_short in (True, False)
        )
        return Plan(self.priced, fit, self._uncurable(), ahead, too_long)

    @cached_property
    def priced(self) -> Priced:
        """All candidate paths, priced; no check is weighed for that."""
        candidates = self._candidates()
        return self._price(candidates) if candidates else NOTHING_PERMITTED

    def _uncurable(self) -> tuple[str, ...]:
        chances = zip(self.belief.causes, self.belief.leaking, strict=True)
        return tuple(c for c, p in chances if p > ESTABLISHED and not self.means.curable(c))

    # -- paths -------------------------------------------------------------------------------------------

    def _candidates(self) -> list[Path]:
        """Paths for the likely sets of leaking causes, likeliest first, and always the empty one."""
        opened = self.means.open_now
        found = {p.actions: p for p in self.means.nothing(opened)}
        for causes in self._likely_sets():
            for path in self.means.for_causes(causes, opened):
                found.setdefault(path.actions, path)
        return list(found.values())

    def _likely_sets(self) -> list[tuple[str, ...]]:
        """Every cause above one half, with up to three more of the likeliest."""
        order = ties.likeliest_first(self.belief.leaking)
        likely = [int(i) for i in order if self.belief.leaking[i] > LIKELY]
        likely = [i for i in likely if self.means.curable(self.belief.causes[i])][:MOST_LIKELY_CAUSES]
        core = tuple(i for i in likely if self.belief.leaking[i] > ESTABLISHED)
        rest = [i for i in likely if i not in core]
        extras = [e for n in range(MOST_EXTRA_CAUSES + 1) for e in combinations(rest, n)]
        return [tuple(self.belief.causes[i] for i in core + e) for e in extras if core + e]

    def _single_paths(self) -> Iterator[Path]:
        """The cheapest path for each cause alone that is not far-fetched."""
        opened = self.means.open_now
        for cause, chance in zip(self.belief.causes, self.belief.leaking, strict=True):
            single = self.means.for_causes((cause,), opened) if chance > FAR_FETCHED else []
            if single:
                yield min(single, key=lambda p: (self.means.own_cost(p, opened), p.actions))

    def possible_paths(self) -> tuple[Path, ...]:
        """Every path that may be chosen as the case stands, or were the chances somewhat different."""
        found = {p.actions: p for p in self._candidates()}
        for path in self._single_paths():
            found.setdefault(path.actions, path)
        return tuple(found.values())

    def _price(self, paths: Sequence[Path]) -> Priced:
        own = np.array([self.means.own_cost(p, self.means.open_now) for p in paths])
        multipliers = self._multipliers(paths)
        hold = self.belief.expect(now=multipliers) * no_new_leak(paths)
        cost = expected_costs(self.means, paths, own, hold, self.belief.leaking, self.belief.quiet)
        return Priced(tuple(paths), own, hold, cost)

    def _multipliers(self, paths: Sequence[Path]) -> NDArray[np.float64]:
        return np.stack([p.hold_multipliers(self.means.shop.quiet_starts) for p in paths])

    # -- checks ------------------------------------------------------------------------------------------

    @cached_property
    def rate(self) -> float:
        """Money that one minute costs: labour and downtime."""
        return (self.means.shop.labour_rate + self.means.shop.downtime_rate) / 60

    @cached_property
    def floor(self) -> float:
        """Money that a check has to be worth in this shop, where nothing presses."""
        return self.means.shop.floor_minutes * self.rate

    def access_cost(self, opens: frozenset[str]) -> float:
        """Money that opening this access costs: minutes at mid-range, waiting at the downtime rate."""
        openings = [self.knowledge.openings[o] for o in opens]
        minutes = sum(sum(o.minutes) / 2 for o in openings)
        return minutes * self.rate + sum(o.elapsed_hours for o in openings) * self.means.shop.downtime_rate

    def check_cost(self, check: Check) -> float:
        """Money that the check itself costs; looking again later costs a second visit."""
        second_visit = self.means.shop.second_visit_minutes if check.looks_again else 0.0
        return (sum(check.minutes) / 2 + second_visit) * self.rate

    def fits(self, checks: Iterable[str], opens: Iterable[str]) -> bool:
        """Whether these checks, with all that is opened for them, take no longer than the time at hand, at the most."""
        if self.at_hand is None:
            return True
        openings = [self.knowledge.openings[o] for o in opens]
        minutes = sum(self.knowledge.checks[check].minutes[1] for check in checks)
        minutes += sum(opening.minutes[1] + 60 * opening.elapsed_hours for opening in openings)
        return minutes <= self.at_hand

    def opens(self, check: Check) -> frozenset[str]:
        """Access that the check needs and that is not open yet."""
        return still_to_open(self.knowledge, check.access, self.means.open_now)

    def _weigh(self, ahead: Ahead) -> tuple[Asked, ...]:
        """All checks at hand by net value, ties in the order of the knowledge."""
        asked, openings = self._asked
        outlooks = self._outlooks(self.questions, ahead)
        weighed = [self._value((c,), s, ahead, outlooks[s]) for c, s in asked.items() if s in outlooks]
        for checks, signs in ((c, s) for c, s in openings.items() if s in outlooks):
            together = self._value(checks, signs, ahead, outlooks[signs])
            weighed = _credit(weighed, checks, together.net_value)
        # A joint that nothing may close again is not opened.
        return tuple(sorted((a for a in weighed if np.isfinite(a.net_value)), key=lambda a: -ties.money(a.net_value)))

    @property
    def questions(self) -> tuple[tuple[str, ...], ...]:
        """The signs that are weighed together, for all checks at hand; no other sign bears on what is asked next."""
        asked, openings = self._asked
        return tuple(sorted({*asked.values(), *openings.values()}))

    @cached_property
    def _asked(self) -> tuple[dict[str, tuple[str, ...]], dict[tuple[str, ...], tuple[str, ...]]]:
        """Check -> its weightiest signs, and checks that share an opening -> theirs together."""
        telling = {c: tuple(x for x in s if self._weights[x] > TELLS_NOTHING) for c, s in self.open_signs.items()}
        return {c: self._weightiest(s) for c, s in telling.items() if s}, self._shared_openings(telling)

    def _outlooks(self, questions: Sequence[tuple[str, ...]], ahead: Ahead) -> dict[tuple[str, ...], Outlook]:
        """What each question would say. One that is too wide alone is not weighed; the others are."""
        try:
            return dict(zip(questions, self.likely_only.outlook(questions, ahead.multipliers), strict=True))
        except TooWideError:
            found = {}
            for question in questions:
                with suppress(TooWideError):
                    (found[question],) = self.likely_only.outlook([question], ahead.multipliers)
            return found

    def _shared_openings(self, telling: Mapping[str, tuple[str, ...]]) -> dict[tuple[str, ...], tuple[str, ...]]:
        """Checks that share access still to be opened -> their three weightiest signs together.

        No single look may pay for taking the carrier out, where three looks at once do.
        """
        groups: dict[frozenset[str], list[str]] = {}
        for check in (c for c, signs in telling.items() if signs):
            groups.setdefault(self.opens(self.knowledge.checks[check]), []).append(check)
        found = {}
        for opens, checks in groups.items():
            if opens and len(checks) > 1:
                signs = self._weightiest(tuple(dict.fromkeys(s for c in checks for s in telling[c])))
                found[tuple(c for c in checks if set(signs) & set(telling[c]))] = signs
        return found

    def _ahead(self, priced: Priced) -> Ahead:
        """The best paths at hand, the best single path of every cause, and each with the joint opened."""
        opened = self.means.open_now
        ahead = {priced.paths[i].actions: priced.paths[i] for i in priced.best_first()[:PATHS_AT_HAND]}
        ahead.update((path.actions, path) for path in self.means.nothing(opened))
        for best in self._single_paths():
            ahead.setdefault(best.actions, best)
        joint_open = opened | self.means.joint_access
        for actions in list(ahead):
            for closed in self.means.closed(actions, joint_open):
                path = self.means.path(closed, joint_open)
                ahead.setdefault(path.actions, path)
        paths = tuple(ahead.values())
        found = Ahead(paths, self._multipliers(paths), 0.0, 0.0)
        hold = self.likely_only.expect(now=found.multipliers)
        likely = self.likely_only
        now = self.costs(paths, opened, hold[None], likely.leaking[None], likely.quiet[None])
        least = now.min(axis=1)
        or_asking = self.or_asking(least, likely.leaking[None], likely.quiet[None])
        return structs.replace(found, cost=float(least[0]), or_asking=float(or_asking[0]))

    @cached_property
    def likely_only(self) -> Belief:
        """The belief that the look-ahead weighs answers by: causes that are hardly there are taken as absent.

        Many questions times many paths go through it, and what is left out moves no choice. What is said of
        the case itself stays with the whole belief, which in turn leaves out what may be asked.
        """
        unlikely = tuple(
            c for c, p in zip(self.belief.causes, self.belief.present_first, strict=True) if p < HARDLY_THERE
        )
        said = self.belief.evidence
        history = (*said.history, HistoryEvidence(0, "", {}, unlikely))
        askable = tuple(dict.fromkeys(sign for signs in self.open_signs.values() for sign in signs))
        return Belief(self.belief.model, structs.replace(said, history=history, askable=askable))

    def _value(self, checks: tuple[str, ...], signs: tuple[str, ...], ahead: Ahead, outlook: Outlook) -> Asked:
        """Fall in the expected cost of the best path, less what the checks and their access cost."""
        entries = [self.knowledge.checks[c] for c in checks]
        opens = frozenset[str]().union(*(self.opens(e) for e in entries))
        costs = self.costs(ahead.paths, self.means.open_now | opens, outlook.hold, outlook.leaking, outlook.quiet)
        best = ties.cheapest(costs)
        repaired = costs[np.arange(len(best)), best]
        or_asking = self.or_asking(repaired, outlook.leaking, outlook.quiet)
        # Nothing is looked at less for being unknown: a look may spare the asking, or a repair.
        fall = max(
            ahead.cost - float(outlook.probability @ repaired), ahead.or_asking - float(outlook.probability @ or_asking)
        )
        gain = self.as_often(fall, checks)
        net = gain - sum(self.check_cost(e) for e in entries) - self.access_cost(opens)
        return Asked(checks[0], signs, opens, gain, net, outlook, tuple(int(b) for b in best), ahead.paths)

    def results(self, check: str) -> tuple[tuple[str, ...], Outlook | None]:
        """The weightiest signs of a check, whatever they tell, and their joint results; none where it shows none."""
        signs = self._weightiest(self.open_signs.get(check, ()))
        if not signs:
            return (), None
        anything = np.ones((1, len(self.belief.causes), 3))
        return signs, self.likely_only.outlook([signs], anything)[0]

    def best_after(self, asked: Asked, rows: Sequence[int]) -> tuple[Path, float, float]:
        """The cheapest path where one of several joint results comes, and its P(hold) and expected cost then."""
        outlook = asked.outlook
        chance = outlook.probability[list(rows)]
        hold, leaking, quiet = (
            (chance @ means[list(rows)] / chance.sum())[None]
            for means in (outlook.hold, outlook.leaking, outlook.quiet)
        )
        costs = self.costs(asked.paths, self.means.open_now | asked.opens, hold, leaking, quiet)[0]
        best = int(ties.cheapest(costs))
        path = asked.paths[best]
        return path, float(hold[0, best]) * (1 - path.new_leak), float(costs[best])

    def costs(
        self,
        paths: Sequence[Path],
        opened: frozenset[str],
        hold: NDArray[np.float64],
        leaking: NDArray[np.float64],
        quiet: NDArray[np.float64],
    ) -> NDArray[np.float64]:
        """[O, P] expected costs with this access open; ``hold`` [O, P] without new leaks, chances [O, C].

        Out are paths that leave the joint open, and curing nothing where a leak is more likely than not, unless
        nothing else may be done.
        """
        own = self._own_costs(paths, opened)
        if opened & self.means.joint_access:
            own = np.where([p.closes is None for p in paths], np.inf, own)
        hold = hold * no_new_leak(paths)
        costs = expected_costs(self.means, paths, own, hold, leaking, quiet)
        careful = np.where(neglect(paths, hold) == CURES_NOTHING, np.inf, costs)
        return np.where(np.isinf(careful).all(axis=1, keepdims=True), costs, careful)

    def or_asking(
        self, repaired: NDArray[np.float64], leaking: NDArray[np.float64], quiet: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """[O] the least of what repairing then costs [O] and, where it would be asked now, of asking; chances [O, C].

        Asking pays for what is not listed here; what is listed is known then, and owed at its own price. Without it a
        look that may spare the asking would be weighed against a repair that nobody would begin. Where nothing may
        close the joint again, asking does not make up for it.
        """
        if not self.is_unknown:
            return repaired
        owed = (leaking + self.means.shop.quiet_starts * quiet) @ self._owed_if_listed
        asked = np.minimum(repaired, self.means.shop.stop_and_ask_price + owed)
        return np.where(np.isfinite(repaired), asked, repaired)

    def as_often(self, fall: float, checks: Sequence[str]) -> float:
        """A fall in the expected cost as often as these checks tell anything; what costs more does so always.

        Of several made together none is worth more than the one that tells nothing most often.
        """
        return fall * (1 - max(map(self.knowledge.no_answer, checks))) if fall > 0 else fall

    @cached_property
    def _owed_if_listed(self) -> NDArray[np.float64]:
        """[C] what is owed for each cause that leaks on; nothing for what is not listed here."""
        listed = [cause != NOT_LISTED for cause in self.belief.causes]
        return np.where(listed, self.means.prices, 0.0)

    @cached_property
    def is_unknown(self) -> bool:
        """What is seen fits none of the known causes: as it stands the maker would be asked."""
        chances = dict(zip(self.belief.causes, self.belief.leaking, strict=True))
        return bool(chances.get(NOT_LISTED, 0.0) > EVEN_CHANCE)

    def _own_costs(self, paths: Sequence[Path], opened: frozenset[str]) -> NDArray[np.float64]:
        """[P] what paths cost with this access open; the same for every check that opens the same."""
        key = opened, tuple(path.actions for path in paths)
        if key not in self._priced_before:
            self._priced_before[key] = np.array([self.means.own_cost(path, opened) for path in paths])
        return self._priced_before[key]

    @cached_property
    def _priced_before(self) -> dict[tuple[frozenset[str], tuple[tuple[str, ...], ...]], NDArray[np.float64]]:
        return {}

    def _weightiest(self, signs: tuple[str, ...]) -> tuple[str, ...]:
        """The signs asked together: at most three, those whose answer is most in doubt and tells most."""
        ranked = sorted(signs, key=lambda s: (-ties.chance(self._weights[s]), signs.index(s)))
        return tuple(s for s in signs if s in ranked[:SIGNS_TOGETHER])

    @cached_property
    def _weights(self) -> Mapping[str, float]:
        """Every sign that may be asked -> what it can tell."""
        asked = dict.fromkeys(s for signs in self.open_signs.values() for s in signs)
        return {id: self._weight(self.knowledge.signs[id], id) for id in asked}

    def _weight(self, sign: Sign, id: str) -> float:
        """A quick measure of what a sign can tell: doubt about its causes times the square of its links."""
        if sign.place:
            zone = sign.place[1]
            chance = self._zone_chance.get(zone, 0.1)
            return chance * (1 - chance)
        links = self.belief.model.signs[id]
        return float(self._doubt[links.leaking] @ (1 - links.none) ** 2)

    @cached_property
    def _doubt(self) -> Mapping[bool, NDArray[np.float64]]:
        """[C] how far it is open whether each listed cause leaks (True), or is there (False)."""
        listed = np.array([cause != NOT_LISTED for cause in self.belief.causes])
        chances = {True: self.belief.leaking, False: self.belief.present}
        return {leaks: listed * chance * (1 - chance) for leaks, chance in chances.items()}

    @cached_property
    def _zone_chance(self) -> dict[str, float]:
        now, _ = self.belief.zones()
        return dict(zip(self.belief.model.zones, (float(p) for p in now), strict=True))


def best_check(checks: Sequence[Asked], knowledge: Knowledge, margin: float = 0.0) -> Asked | None:
    """The check to make: what spoils or opens waits while one as found is worth a third of the best.

    ``checks`` in order of net value. One comes before the first of them for what may follow it only where that is worth
    more by the ``margin``: the shop's floor, which every further check has to be worth. What an as-found check is worth
    with others after it does not count for the wait: with the dear one to follow, any look would be worth nearly as
    much. Returns None when there is none.
    """
    if not checks:
        return None

    def is_as_found(asked: Asked) -> bool:
        return not asked.opens and not knowledge.checks[asked.check].spoils

    best = max(checks, key=lambda asked: ties.money(asked.worth))
    if best.worth <= checks[0].worth + margin:
        best = checks[0]
    as_found = next((a for a in checks if is_as_found(a)), None)
    if is_as_found(best) or as_found is None:
        return best
    return as_found if as_found.net_value >= AS_FOUND_FRACTION * max(checks[0].net_value, 0.0) else best


def _credit(weighed: Sequence[Asked], checks: Sequence[str], net_value: float) -> list[Asked]:
    """The first check to make of several that share an opening is worth what they are worth together."""
    first = max((a for a in weighed if a.check in checks), key=lambda a: ties.money(a.net_value), default=None)
    return [structs.replace(a, net_value=max(a.net_value, net_value)) if a is first else a for a in weighed]


def no_new_leak(paths: Sequence[Path]) -> NDArray[np.float64]:
    """[P] chance that the closing of each path, if it has one, makes no new leak."""
    return np.array([1 - p.new_leak for p in paths])
