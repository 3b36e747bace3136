"""Works a sampled truck as a technician would: asks it what leakdx wants to know, and writes the log.

The log is written in the terms of ``leakdx.case``; the answers come from the truck alone.
"""

from collections.abc import Iterable
from math import floor, log, log10
from typing import NamedTuple

import numpy as np
from scipy.stats import norm

from leakdx.case import UNSURE, Case, Done, LogEntry, Observation, Reading, Told
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.repair import opening_closure
from tests.published.reference.reader import Story
from tests.published.reference.sampler import Truck, draw_history, draw_reported
from tests.published.slips import Slips
from tests.published.worlds import World

TECHNICIAN = "AB"
KNOWN = 0.5
"""Chance that a history fact of the truck is known to anybody."""


def build_facts(knowledge: Knowledge) -> frozenset[str]:
    """History groups that a truck here always has told: what causes need, and what a find could prove.

    A find that contradicts what nobody told would be evidence that the sampler does not draw.
    """
    needed = {group for cause in knowledge.causes.values() for group in cause.only_if}
    return frozenset(needed | {c.history for rule in knowledge.rules.values() for c in rule.then if c.history})


def _step(error: float) -> float:
    """The step of a gauge with this error: the next of 1, 2 and 5 times a power of ten (feelers: a thousandth)."""
    tens = 10.0 ** floor(log10(error))
    return next(tens * times for times in (1, 2, 5, 10) if tens * times >= error * (1 - 1e-9))


class Spent(NamedTuple):
    """Before the repair: cost of checks with their access, of access that the repair itself needs; checks made.

    ``demanded``: what of ``looking`` went into checks that are worth nothing by themselves and that rules want seen,
    with access that the repair does not need.
    """

    looking: float
    opening: float
    steps: int
    demanded: float = 0.0


class Job:
    """One truck brought in wet, and the case that is written about it."""

    def __init__(self, world: World, seed: int, number: int) -> None:
        self.number = number
        self.truth, self.knowledge = world.truth(number), world.told
        self.meaning = self.truth.meaning
        self.shop = next(iter(self.knowledge.shops.values()))
        self.slips = Slips(self.knowledge, world.wrong, world.blind, (seed, number, 1))
        self.rng = np.random.default_rng((seed, number))
        facts = draw_history(self.meaning, self.rng)
        always = build_facts(self.truth.knowledge)
        self.facts = {g: a for g, a in facts.items() if g in always or self.rng.random() < KNOWN}
        story = Story(self.meaning.complaint, *self.meaning.told(self.facts))
        self.truck: Truck = draw_reported(self.meaning, self.truth.base, story, self.rng)
        self.log: list[LogEntry] = []
        self._known: tuple[int, Diagnosis] | None = None
        for group in self.facts:
            self.tell(group)

    @property
    def case(self) -> Case:
        """The case as written so far."""
        return Case(id="SIM", complaint=self.meaning.complaint, log=tuple(self.log))

    def diagnosis(self) -> Diagnosis:
        """What leakdx makes of it now; the log only grows, so its length tells whether that is known."""
        if self._known is None or self._known[0] != len(self.log):
            self._known = (len(self.log), diagnose(self.knowledge, self.case))
        return self._known[1]

    @property
    def _next(self) -> int:
        return len(self.log) + 1

    def tell(self, group: str) -> None:
        """Write down a history fact, or that nobody knows."""
        known = self.facts.get(group)
        answer = UNSURE if known is None else self.slips.told(known, self.knowledge.history[group].answers)
        self.log.append(Told(number=self._next, who=TECHNICIAN, group=group, answer=answer))

    def do(self, act: str) -> None:
        """Do something to the truck; what can cure, or renews a part, starts an epoch."""
        self.log.append(Done(number=self._next, who=TECHNICIAN, act=act))
        cures, renews = self.meaning.acts[act], self.meaning.renews[act]
        if cures or renews:
            self.truck.act(cures, renews, dries=act in self.meaning.drying)

    def look(self, sign: str) -> None:
        """Look at one sign and write down what is seen, or read its gauge."""
        rank = self.slips.look(sign, self.truck.look(sign), len(self.knowledge.signs[sign].outcomes))
        if self.knowledge.signs[sign].measure is None:
            answer = self.knowledge.signs[sign].outcomes[rank]
            self.log.append(Observation(number=self._next, who=TECHNICIAN, sign=sign, answer=answer))
        else:
            value, unit = self._read(sign, rank)
            self.log.append(Reading(number=self._next, who=TECHNICIAN, sign=sign, value=value, unit=unit))

    def _read(self, sign: str, beyond: int) -> tuple[str, str]:
        """One reading: the true value, which stands on the right side of the limit, and the gauge's error.

        It is written in the steps that such a gauge has, since nobody writes down what the gauge does not tell.
        """
        measure = self.knowledge.signs[sign].measure
        assert measure is not None
        limit = float(norm.cdf(log(measure.limit / measure.median) / log(measure.factor)))
        above = (measure.beyond == "above") == bool(beyond)
        drawn = self.truck.drawn(("value", sign, beyond))
        part = limit + drawn * (1 - limit) if above else drawn * limit
        true = measure.median * measure.factor ** float(norm.ppf(part))
        earlier = sum(isinstance(entry, Reading) and entry.sign == sign for entry in self.log)
        read = true + measure.gauge * float(norm.ppf(self.truck.drawn(("read", sign, earlier))))
        step = _step(measure.gauge)
        return f"{np.clip(round(read / step) * step, measure.lowest, measure.highest):.6g}", measure.unit

    def make(self, check: str, diagnosis: Diagnosis | None = None) -> float:
        """Make a check: open what it needs, look at what is still open of it. Returns what that cost.

        Signs are those that leakdx would ask, now or by an earlier ``diagnosis``. Money: hands-on at the labour
        and downtime rates, waiting at the downtime rate.
        """
        entry = self.knowledge.checks[check]
        diagnosis = diagnosis or self.diagnosis()
        looked = {
            entry.sign for entry in self.log[len(diagnosis.case.log) :] if isinstance(entry, Observation | Reading)
        }
        signs = [sign for sign in diagnosis.offer.checks().get(check, ()) if sign not in looked]
        cost = sum(entry.minutes) / 2 * self._rate
        cost += self._rate * self.shop.second_visit_minutes if entry.looks_again else 0.0
        closed = self._closed(diagnosis, entry.access)
        if closed:
            cost += sum(self._opening_cost(o) for o in closed if self.knowledge.openings[o].act is None)
            cost += self.open(entry.access)
            diagnosis = self.diagnosis()
        if diagnosis.timeline.must_drive_first and any(self.knowledge.signs[s].place for s in signs):
            self.do(next(act for act, entry in self.knowledge.acts.items() if entry.drives))
        for sign in signs:
            self.look(sign)
        for group in entry.reveals:
            if group in self.knowledge.history and group not in self.facts:
                self.tell(group)
        return cost

    def open(self, access: Iterable[str]) -> float:
        """Bring about what of this access an act brings about and is not open yet. Returns what that cost."""
        cost = 0.0
        while acts := [(o, a) for o in self._closed(self.diagnosis(), access) if (a := self.knowledge.openings[o].act)]:
            opening, act = acts[0]
            cost += self._opening_cost(opening)
            self.do(act)
        return cost

    def _closed(self, diagnosis: Diagnosis, access: Iterable[str]) -> list[str]:
        """What of this access, and of what it needs, is not open; what is needed first comes first."""
        wanted = opening_closure(self.knowledge, access)
        closed = [o for o in self.knowledge.openings if o in wanted and o not in diagnosis.timeline.open]
        return sorted(closed, key=lambda o: len(opening_closure(self.knowledge, [o])))

    @property
    def _rate(self) -> float:
        """Money for a minute on the job."""
        return (self.shop.labour_rate + self.shop.downtime_rate) / 60

    def _opening_cost(self, opening: str) -> float:
        entry = self.knowledge.openings[opening]
        return sum(entry.minutes) / 2 * self._rate + entry.elapsed_hours * self.shop.downtime_rate

    def open_interview(self) -> None:
        """The questions that come first, cheap and decisive: as from one sheet, then what their answers open."""
        checks = self.knowledge.checks.items()
        order = {id: check.ask_order for id, check in checks if check.ask_order is not None and not check.ask_if_wet}
        left = sorted(order, key=order.__getitem__)
        while now := [check for check in left if self.diagnosis().offer.allows(check)]:
            diagnosis = self.diagnosis()
            for check in now:
                self.make(check, None if self._closed(diagnosis, self.knowledge.checks[check].access) else diagnosis)
            left = [check for check in left if check not in now]
