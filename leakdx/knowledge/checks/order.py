"""Relations that must not run in a circle, and tables that must stay small."""

from collections import Counter
from collections.abc import Iterable, Mapping

from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.faults import Code

MOST_PARENTS = 8
"""Causes that lead to one cause: with three states each its table has 3 ** 9 cells."""
MOST_RESULTS = 12
"""Of one look: over two epochs its values are pairs of results."""
MOST_SIGN_CELLS = 4096
"""Causes that show one look, times its pairs of results."""


def check_cycles(ground: Ground) -> None:
    """``leads_to`` of causes, ``needs`` of openings, ``together_with`` of repairs; and no path from a zone to itself."""
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
            ground.fault(Code.CYCLE, wrong, "leave it out; a zone wets its own place", "zones", id, "paths", id)


def find_cycles(edges: Mapping[str, Iterable[str]]) -> list[tuple[str, ...]]:
    """One cycle for each step that closes one, found by walking depth first in the order written."""
    done: set[str] = set()
    found: list[tuple[str, ...]] = []

    def walk(at: str, way: tuple[str, ...]) -> None:
        if at in way:
            found.append(way[way.index(at) :])
        elif at not in done:
            for after in edges.get(at, ()):
                walk(after, (*way, at))
            done.add(at)

    for start in edges:
        walk(start, ())
    return found


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
