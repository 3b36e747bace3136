"""Relations that must not run in a circle, steps that must not go back, and tables that must stay small."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from leakdx.knowledge.actions import PHASES
from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.faults import Code

MOST_PARENTS = 8
"""Causes that lead to one cause: with three states each its table has 3 ** 9 cells."""
MOST_RESULTS = 12
"""Of one look: over two epochs its values are pairs of results."""
MOST_SIGN_CELLS = 4096
"""Causes that show one look, times its pairs of results."""


def check_cycles(ground: Ground) -> None:
    """``leads_to`` of causes, ``needs`` of openings, ``together_with`` of repairs, paths from a zone to itself."""
    leads = {id: tuple(cause.leads_to) for id, cause in ground.causes.items()}
    needs = {id: opening.needs for id, opening in ground.openings.items()}
    together = {id: tuple(other for any_of in r.together_with for other in any_of) for id, r in ground.repairs.items()}
    for kind, field, edges in (
        ("causes", "leads_to", leads),
        ("openings", "needs", needs),
        ("repairs", "together_with", together),
    ):
        for cycle in find_cycles(edges):
            way = " -> ".join((*cycle, cycle[0]))
            ground.fault(Code.CYCLE, f"'{field}' runs in a circle: {way}", "take one step out", kind, cycle[0], field)
    for id, zone in ground.zones.items():
        if id in zone.paths:
            wrong = f"a path of '{id}' leads to itself"
            ground.fault(Code.CYCLE, wrong, "leave it out, a zone wets its own place", "zones", id, "paths", id)


def check_phases(ground: Ground) -> None:
    """A repair's steps stand in the order of work."""
    for id, repair in ground.repairs.items():
        for number, (before, step) in enumerate(pairwise(repair.steps), start=1):
            if PHASES.index(step.phase) < PHASES.index(before.phase):
                wrong = (
                    f"step {number + 1} of '{id}' is of phase '{step.phase}', and the one before it of '{before.phase}'"
                )
                right = (
                    f"put it in the order {', '.join(PHASES)}, or write its phase ('mend' is meant where none stands)"
                )
                ground.fault(Code.PHASE, wrong, right, "repairs", id, "steps", number)


def find_cycles(edges: Mapping[str, Iterable[str]]) -> list[tuple[str, ...]]:
    """Cycles until none is left, one step of each taken out before the next is looked for."""
    left = {start: list(dict.fromkeys(ends)) for start, ends in edges.items()}
    found: list[tuple[str, ...]] = []
    while True:
        try:
            TopologicalSorter(left).prepare()
        except CycleError as error:
            way = tuple(reversed(error.args[1]))
            found.append(_from_least(way[:-1], list(edges)))
            left[way[0]].remove(way[1])
        else:
            return found


def _from_least(cycle: tuple[str, ...], order: Sequence[str]) -> tuple[str, ...]:
    """The cycle told from the entry that is written first."""
    start = min(range(len(cycle)), key=lambda number: order.index(cycle[number]))
    return (*cycle[start:], *cycle[:start])


def check_tables(ground: Ground) -> None:
    """Bounds on parents times states. What an actual case needs is computed again before it runs."""
    parents = Counter(child for cause in ground.causes.values() for child in cause.leads_to)
    for child, count in parents.items():
        if count > MOST_PARENTS and child in ground.causes:
            wrong = f"{count} causes lead to '{child}', a table of {3 ** (count + 1)} cells"
            ground.fault(Code.TOO_LARGE_TABLE, wrong, f"keep the {MOST_PARENTS} that matter most", "causes", child)
    showing = Counter(sign for cause in ground.causes.values() for sign in cause.looks)
    for id, sign in ground.signs.items():
        results = len(sign.results)
        cells = showing[id] * results**2
        if results > MOST_RESULTS or cells > MOST_SIGN_CELLS:
            wrong = f"'{id}' has {results} results and {showing[id]} causes that show it"
            right = f"join results, at most {MOST_RESULTS} with {MOST_SIGN_CELLS} pairs times causes"
            ground.fault(Code.TOO_LARGE_TABLE, wrong, right, "signs", id, "results")
