"""Trucks drawn from the knowledge, diagnosed by leakdx and repaired: is it right as often as it says, at what cost?

``python -m tests.published.simulation --cases 2000 --seeds 1 2 3 4 5 --jobs 2``. Each truck is drawn by the
tests' own sampler; leakdx asks, the truck answers, until leakdx looks no further; then its first path is
taken and a coin drawn for whether it holds. ``--world`` changes what trucks are drawn from, what leakdx was
told, or who writes it down. What is checked is that a said chance is a true one under the model, and how
much of it is lost where the model is off; not that the model is true.
"""

import argparse
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from tests.published import figures, tables
from tests.published.figures import repaired
from tests.published.kept import Kept
from tests.published.policies.on_trucks import WAYS
from tests.published.trucks import Job
from tests.published.worked import OWN_WAYS, Outcome, Refused, one_truck
from tests.published.worlds import FORGOTTEN, NAMES, UNKNOWN, world

Drawn = list[Outcome | Refused]
EACH_CAUSE = "each_cause"
"""Stands for every cause unknown in turn."""
ALL = "all"
GROUP_GAP = 0.05
ENOUGH_FOR_GROUPS = 10_000
"""Trucks below which chance alone can put a group further out than GROUP_GAP."""
MOST_SEARCHED = 20_000
"""Trucks among which those with a rare cause are looked for."""
AT_ONCE = 200
"""Trucks that are worked before they are kept."""


class Runner:
    """Runs trucks in processes; in order of their number whatever the number of processes."""

    def __init__(self, policy: str, pool: ProcessPoolExecutor | None, kept: Kept | None = None) -> None:
        self._policy, self._pool, self._kept = policy, pool, kept

    def run(self, name: str, seed: int, numbers: Sequence[int]) -> Drawn:
        """Trucks of a world; those that are kept are not worked again."""
        if self._kept is None:
            return self._work(name, seed, numbers)
        trucks = self._kept.of(name, seed)
        missing = [number for number in numbers if number not in trucks]
        for start in range(0, len(missing), AT_ONCE):
            worked = self._work(name, seed, missing[start : start + AT_ONCE])
            self._kept.add(name, seed, worked)
            trucks.update((truck.number, truck) for truck in worked)
        return [trucks[number] for number in numbers]

    def _work(self, name: str, seed: int, numbers: Sequence[int]) -> Drawn:
        work = partial(one_truck, name, self._policy, seed)
        at_once = max(1, min(10, len(numbers) // 8))  # few enough that no process waits long for the last
        return list(self._pool.map(work, numbers, chunksize=at_once)) if self._pool else [work(n) for n in numbers]

    def numbers(self, name: str, seed: int, cases: int) -> Sequence[int]:
        """The first trucks of a world; of one about a single cause those in which it leaks."""
        leaks = world(name).leaks
        return self.with_each_cause(seed, cases)[leaks] if leaks else range(cases)

    def with_each_cause(self, seed: int, most: int) -> Mapping[str, list[int]]:
        """Cause -> numbers of the first ``most`` trucks in which it leaks, among MOST_SEARCHED."""
        causes = world("unchanged").told.causes
        enough = 2 * most * 100 / min(cause.share for cause in causes.values())
        look, numbers = partial(leaks_in, seed), range(min(MOST_SEARCHED, int(enough)))
        leaks = self._pool.map(look, numbers, chunksize=200) if self._pool else map(look, numbers)
        return first_with(leaks, causes, most)


def leaks_in(seed: int, number: int) -> list[str]:
    """What leaks in a truck of the unchanged world."""
    return Job(world("unchanged"), seed, number).truck.leaking()


def first_with(leaks: Iterable[Sequence[str]], causes: Iterable[str], most: int) -> Mapping[str, list[int]]:
    """Cause -> numbers of the first ``most`` trucks that it leaks in; ``leaks``: what does in each, in order."""
    found: dict[str, list[int]] = {cause: [] for cause in causes}
    for number, leaking in enumerate(leaks):
        for cause in leaking:
            if len(found.get(cause, ())) < most and cause in found:
                found[cause].append(number)
    return found


def run(cases: int, jobs: int, seed: int, policy: str, name: str = "unchanged") -> Drawn:
    """The first trucks of a world."""
    with runner(jobs, policy) as working:
        return working.run(name, seed, range(cases))


@contextmanager
def runner(jobs: int, policy: str, names: Sequence[str] = ("unchanged",), keep: Path | None = None) -> Iterator[Runner]:
    """A runner; its processes end with it. The worlds of these names are made once and there in every process."""
    kept = Kept(keep, policy) if keep else None
    if jobs == 1:
        yield Runner(policy, None, kept)
        return
    for name in names:
        world(name)
    with ProcessPoolExecutor(jobs) as pool:
        yield Runner(policy, pool, kept)


def each_cause(working: Runner, seed: int, most: int) -> Iterator[tables.Unknown]:
    """Every cause in turn: the same trucks with it known, unknown, and unknown with the signs that only it shows."""
    for cause, numbers in working.with_each_cause(seed, most).items():
        _tell(f"{cause}: {len(numbers)} trucks")
        yield tables.Unknown(
            cause,
            working.run("unchanged", seed, numbers),
            working.run(f"{UNKNOWN}:{cause}", seed, numbers),
            working.run(f"{FORGOTTEN}:{cause}", seed, numbers),
        )


def main() -> int:
    """Run by hand; prints the tables. Fails where a truck was refused, or a large run's group is out by GROUP_GAP."""
    args = _parser().parse_args()
    wanted = [*NAMES, EACH_CAUSE] if ALL in args.world else args.world
    style = tables.MARKDOWN if args.markdown else tables.PLAIN
    drawn: Drawn = []
    named = [name for name in wanted if name != EACH_CAUSE]
    with runner(args.jobs, args.policy, named, args.keep) as working:
        rows: dict[str, Drawn] = {}
        for name in wanted:
            if name == EACH_CAUSE:
                continue
            seeds = {seed: _told(working, name, seed, args.cases) for seed in _seeds_of(name, args.seeds)}
            rows[name] = seeds[args.seeds[0]]
            if name == "unchanged":
                drawn = [truck for trucks in seeds.values() for truck in trucks]
                _print("As the knowledge says", tables.unchanged(seeds, style))
        if set(rows) - {"unchanged"}:
            said = {name: (world(name).says, trucks) for name, trucks in rows.items()}
            _print("Changed worlds", tables.worlds(said, style))
        if EACH_CAUSE in wanted:
            unheard = list(each_cause(working, args.seeds[0], args.each))
            _print("A cause never heard of", tables.unknown(unheard, style))
    return int(any(isinstance(truck, Refused) for truck in drawn) or _is_out(drawn))


def _is_out(drawn: Drawn) -> bool:
    """Whether a run is large enough to be held to GROUP_GAP, and a group is out by more."""
    gaps = [abs(said.mean - held.mean) for said, held in figures.groups(repaired(drawn))]
    return len(drawn) >= ENOUGH_FOR_GROUPS and max(gaps) > GROUP_GAP


def _seeds_of(name: str, seeds: Sequence[int]) -> Sequence[int]:
    """All seeds for the world as it is; the others are held against it on the trucks of the first."""
    return seeds if name == "unchanged" else seeds[:1]


def _told(working: Runner, name: str, seed: int, cases: int) -> Drawn:
    _tell(f"{name}, seed {seed}")
    return working.run(name, seed, working.numbers(name, seed, cases))


def _print(title: str, table: str) -> None:
    print(f"### {title}\n\n{table}\n", flush=True)


def _tell(what: str) -> None:
    print(what, file=sys.stderr, flush=True)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=2000, help="trucks to draw with each seed")
    parser.add_argument("--seeds", type=int, nargs="+", default=[1], help="changed worlds: the first of them")
    parser.add_argument("--jobs", type=int, default=2, help="processes")
    parser.add_argument("--policy", choices=(*OWN_WAYS, *WAYS), default="follow", help="who chooses the checks")
    worlds = f"{', '.join(NAMES)}, unknown:CAUSE, forgotten:CAUSE, {EACH_CAUSE}, {ALL}"
    parser.add_argument("--world", nargs="+", default=["unchanged"], help=f"one or several of: {worlds}")
    parser.add_argument("--each", type=int, default=60, help=f"trucks for each cause of {EACH_CAUSE}")
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="worked trucks are kept there; a run goes on")
    parser.add_argument("--markdown", action="store_true", help="tables for docs/simulation.md")
    return parser


if __name__ == "__main__":
    sys.exit(main())
