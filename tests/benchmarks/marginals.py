"""All marginals on the shipped knowledge with random evidence, cold, beside two general-purpose libraries in one run.

``python -m tests.benchmarks.marginals`` prints medians, ratios and what a library could not do. Cold: order, tables
and run, with nothing remembered but the compiled knowledge and what causes ask of its signs and zones, which is the
same whatever was seen. The reference is pyAgrum's lazy propagation on the network that the tests' own reader builds
from the same YAML, in the better of two formulations for each evidence (whole, and conditioned on "not listed here",
which touches every sign): sure "no" is soft evidence on the causes, wide signs are chains. Building that network is
not counted; making the engine, setting evidence and reading the marginals is. Each evidence is run in a process of its
own, which is given up after ``PATIENCE`` seconds. What a library gave up counts as slower than all that it could do;
the median of what it could do is printed apart.

Evidence is of three kinds. What a truck drawn from the knowledge shows, where what was seen has its causes in common.
The trucks of the body of cases, with their history, and places that are wet. And written signs drawn at random,
whatever causes them: few have a cause in common, "not listed here" explains most of ten, and the reference finds
that easy.
"""

import multiprocessing
import resource
from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from itertools import islice
from math import inf
from pathlib import Path
from statistics import median
from time import perf_counter, process_time
from typing import Any, NamedTuple

import numpy as np

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.belief import Belief, Evidence, Model, SignEvidence, compile_model
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.factors import find_order, make_plan
from leakdx.reasoning.line import find_line
from leakdx.reasoning.rules import fired
from leakdx.reasoning.unfolding import unfold
from leakdx.store.casefile import read_case
from tests.published.reference import network
from tests.published.reference.enumeration import LEAKING
from tests.published.reference.reader import Meaning, Story, load
from tests.published.reference.sampler import draw_reported

BODY = Path(__file__).parents[1] / "cases"
NO = 10
PATIENCE = 8.0
MEMORY = 4 * 2**30
ROUNDS = 3
QUICK, QUICK_ROUNDS = 0.1, 12
"""Seconds up to which something is run oftener."""
TRUCKS = 25
PGMPY_TRUCKS = 3
Bars = Mapping[str, float | None]
"""Library -> how many times as long it has to take; None where that is only printed."""
BARS: Mapping[int, Bars] = {5: {"pyAgrum": 2.5}, 10: {"pyAgrum": 10.0, "pgmpy": 100.0}}
"""How many times as long each library has to take on what a drawn truck shows, by signs found not normal."""
PRINTED: Bars = {"pyAgrum": None}
OF_TRUCKS = (
    ("5 yes, trucks of the body of cases", range(5, 6)),
    ("7 yes or more, trucks of the body of cases", range(7, 99)),
)
EXACT = 1e-12


class Shipped(NamedTuple):
    """The shipped knowledge, read twice."""

    knowledge: Knowledge
    model: Model
    meaning: Meaning

    @classmethod
    def read(cls) -> "Shipped":
        """Both readings of it."""
        knowledge = load_knowledge([shipped_folder()])
        return cls(knowledge, compile_model(knowledge), load(shipped_folder()))

    def base(self) -> dict[str, float]:
        """Cause -> its base chance."""
        chances = (1 / (1 + np.exp(-self.model.log_odds))).tolist()
        return dict(zip(self.model.causes, chances, strict=True))


class Times(NamedTuple):
    """Seconds of one evidence by name; a library that gave up is left out. ``off``: greatest difference found."""

    seconds: Mapping[str, float]
    off: float


def evidence(knowledge: Knowledge, yes: int, seed: int) -> tuple[Evidence, list[str]]:
    """Some signs answered, most of the written ones "yes" or "no", and what is left to ask."""
    rng = np.random.default_rng([yes, seed])
    order = _in_any_order(knowledge, rng)
    told, left = order[: yes + NO], order[yes + NO :]
    return _seen(knowledge, {id: _not_normal(knowledge, id, rng) if n < yes else 0 for n, id in enumerate(told)}), left


def of_a_drawn_truck(shipped: Shipped, yes: int, seed: int) -> Evidence:
    """So many signs not normal and ``NO`` normal of a truck drawn from the knowledge, one that shows as many."""
    knowledge, rng = shipped.knowledge, np.random.default_rng([yes, seed])
    story = Story(knowledge.complaint, {}, frozenset(), (), ())
    while True:
        truck = draw_reported(shipped.meaning, shipped.base(), story, rng)
        shown = {id: truck.look(id) for id in _in_any_order(knowledge, rng)}
        found, normal = ([id for id, rank in shown.items() if bool(rank) is bad] for bad in (True, False))
        if len(found) >= yes:
            return _seen(knowledge, {id: shown[id] for id in (*found[:yes], *normal[:NO])})


def _in_any_order(knowledge: Knowledge, rng: np.random.Generator) -> list[str]:
    written = [s for s, entry in knowledge.signs.items() if not entry.place]
    return [written[i] for i in rng.permutation(len(written))]


def _not_normal(knowledge: Knowledge, sign: str, rng: np.random.Generator) -> int:
    return int(rng.integers(1, len(knowledge.signs[sign].outcomes)))


def _seen(knowledge: Knowledge, ranks: Mapping[str, int]) -> Evidence:
    """Signs seen once, of an axle of which nothing else is known."""
    sure = {id: np.eye(len(knowledge.signs[id].outcomes))[rank].tolist() for id, rank in ranks.items()}
    signs = tuple(SignEvidence(number, id, 0, tuple(sure[id])) for number, id in enumerate(sure))
    return Evidence(knowledge.complaint, signs=signs)


def trucks_seen(knowledge: Knowledge, yes: Collection[int]) -> list[Diagnosis]:
    """Trucks of the body of cases with so many signs found not normal, nothing done since and nothing doubted."""
    made = (diagnose(knowledge, read_case(path, knowledge)) for path in sorted(BODY.rglob("*.yaml")))
    return list(islice((one for one in made if _is_plain(one.evidence, yes)), TRUCKS))


def _is_plain(told: Evidence, yes: Collection[int]) -> bool:
    later = told.acts or told.redraws or told.doubts or told.comebacks
    return not later and sum(sign.likelihood[0] == 0 for sign in told.signs) in yes


def cold(model: Model, told: Evidence) -> Belief:
    """A belief with no structure remembered."""
    forget()
    return Belief(model, told)


def forget() -> None:
    """All structure of earlier cases, and what rules made of them."""
    for cached in (find_line, find_order, unfold, make_plan, fired):
        cached.cache_clear()


def in_turns(calls: Sequence[Callable[[], Any]], rounds: int) -> list[float]:
    """The least seconds of each, each round running all of them once: what is compared meets the same machine.

    By the processor, or by the clock where several threads make that shorter; what else the machine does only ever
    adds to either.
    """
    taken = [float("inf")] * len(calls)
    for _ in range(rounds):
        for i, call in enumerate(calls):
            clock, processor = perf_counter(), process_time()
            call()
            taken[i] = min(taken[i], perf_counter() - clock, process_time() - processor)
    return taken


def seconds(call: Callable[[], Any], rounds: int = ROUNDS) -> float:
    """The least seconds of some rounds."""
    return in_turns([call], rounds)[0]


def built(shipped: Shipped, told: Evidence) -> network.Builder:
    """The reference's network of an evidence."""
    decibans: dict[str, float] = defaultdict(float)
    for item in told.history:
        for id, shift in item.decibans.items():
            for cause in shipped.model.causes_of(id):
                decibans[shipped.model.causes[cause]] += shift
    impossible = frozenset(c for item in told.history for c in item.impossible)
    seen = tuple((s.sign, s.epoch, s.likelihood) for s in told.signs)
    return network.Builder(shipped.meaning, shipped.base(), Story(told.complaint, decibans, impossible, (), seen))


def propagation(shipped: Shipped, told: Evidence, given: str | None) -> tuple[Callable[[], Any], float]:
    """Lazy propagation of an evidence, ready to run, and how far the belief is off."""
    builder = built(shipped, told)
    nodes = [builder.states[c][0] for c in shipped.model.causes]
    ready = network.ready(builder.net)

    def run() -> Any:
        return network.marginals(builder.net, nodes, given and f"{given}@0", ready)[0]

    found = run()
    off = max(abs(float(found[n][LEAKING]) - p) for n, p in zip(nodes, cold(shipped.model, told).leaking, strict=True))
    return run, off


def lazy(shipped: Shipped, told: Evidence, given: str | None) -> tuple[float, float, float]:
    """Seconds of lazy propagation and, turn by turn with it, of the belief, cold; and how far the belief is off."""
    run, off = propagation(shipped, told, given)
    rounds = ROUNDS if seconds(run, 1) > QUICK else QUICK_ROUNDS
    theirs, ours = in_turns([run, lambda: cold(shipped.model, told)], rounds)
    return theirs, ours, off


def by_elimination(shipped: Shipped, told: Evidence) -> float:
    """Seconds of pgmpy's variable elimination, one query a cause."""
    builder = built(shipped, told)
    query = network.elimination(builder.net)
    nodes = [builder.states[c][0] for c in shipped.model.causes]
    return seconds(lambda: [query(node) for node in nodes], 1)


def tried(call: Callable[..., Any], *arguments: Any) -> Any:
    """What a call returns in a process of its own; None where it does not in time, or runs out of memory."""
    here, there = multiprocessing.get_context("fork").Pipe(duplex=False)

    def run() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        there.send(call(*arguments))

    child = multiprocessing.get_context("fork").Process(target=run)
    child.start()
    there.close()
    try:
        return here.recv() if here.poll(PATIENCE) else None
    except EOFError:
        return None
    finally:
        child.kill()
        child.join()


def timed(shipped: Shipped, told: Evidence, *, pgmpy: bool = False) -> Times:
    """One evidence, by everything."""
    ways = [way for way in (tried(lazy, shipped, told, given) for given in (None, NOT_LISTED)) if way]
    if ways:
        found = dict(zip(("pyAgrum", "leakdx"), min(ways), strict=False))
    else:
        found = {"leakdx": seconds(lambda: cold(shipped.model, told), QUICK_ROUNDS)}
    if pgmpy and (took := tried(by_elimination, shipped, told)) is not None:
        found["pgmpy"] = took
    return Times(found, max((way[2] for way in ways), default=0.0))


class Rows(NamedTuple):
    """All evidence of one kind, timed. ``bars``: how many times as long each library has to take."""

    kind: str
    rows: Sequence[Times]
    bars: Bars

    def off(self) -> float:
        """The greatest difference from lazy propagation that was found."""
        return max(row.off for row in self.rows)

    def ratios(self, name: str) -> list[float]:
        """How many times as long a library takes, on each evidence that it could do."""
        return [row.seconds[name] / row.seconds["leakdx"] for row in self.rows if name in row.seconds]

    def given_up(self, name: str) -> int:
        """On how much evidence a library gave up, or ran out of memory."""
        asked = len(self.rows) if name == "pyAgrum" else min(PGMPY_TRUCKS, len(self.rows))
        return asked - len(self.ratios(name))

    def ratio(self, name: str) -> float:
        """The median of all evidence that a library was tried on."""
        return median([*self.ratios(name), *([inf] * self.given_up(name))])

    def said(self, name: str) -> str:
        """The same in words, and apart from it what a library could do."""
        ratio, able = self.ratio(name), self.ratios(name)
        times = f"{ratio:.1f} times as long" if ratio < inf else "given up on more than half"
        could = f"{median(able):.1f} times on the {len(able)} that it could do, " if able else ""
        return f"{times}; {could}{self.given_up(name)} given up ({PATIENCE:g} s, {MEMORY // 2**30} GB)"


def every_kind(trucks: int = TRUCKS) -> Iterator[Rows]:
    """Evidence of drawn trucks, of the body of cases, and at random."""
    shipped = Shipped.read()
    for yes, bars in BARS.items():
        drawn = [of_a_drawn_truck(shipped, yes, seed) for seed in range(trucks)]
        rows = [timed(shipped, told, pgmpy="pgmpy" in bars and i < PGMPY_TRUCKS) for i, told in enumerate(drawn)]
        yield Rows(f"{yes} yes and {NO} no, drawn trucks", rows, bars)
    for kind, counts in OF_TRUCKS:
        seen = trucks_seen(shipped.knowledge, counts)[:trucks]
        yield Rows(kind, [timed(shipped, truck.evidence) for truck in seen], PRINTED)
    for yes in BARS:
        at_random = [evidence(shipped.knowledge, yes, seed)[0] for seed in range(trucks)]
        yield Rows(f"{yes} yes and {NO} no at random", [timed(shipped, told) for told in at_random], PRINTED)


def report() -> Iterator[str]:
    """Line by line: medians over those that a library could do, the median of ratios, and what it could not do."""
    for found in every_kind():
        yield f"{found.kind}: leakdx cold {_ms(found.rows, 'leakdx')}; greatest difference {found.off():.0e}"
        for name, bar in found.bars.items():
            held = f" (bar {bar:g})" if bar else ""
            yield f"  {name}: {found.said(name)}{held}"
            able = [row for row in found.rows if name in row.seconds]
            if able:
                yield f"  {name}: {_ms(able, name)} on those"


def _ms(rows: Sequence[Times], name: str) -> str:
    taken = sorted(1e3 * row.seconds[name] for row in rows)
    return f"{median(taken):.1f} ms ({taken[0]:.1f} to {taken[-1]:.1f})"


if __name__ == "__main__":
    for told in report():
        print(told, flush=True)
