"""What planning and belief have to reach, measured in one run: ``python -m tests.benchmarks.bars``.

Rows that take long can be left out: ``--trucks 0`` (or a folder of kept ones, with ``--keep``), ``--instances 0``,
``--without-tree``, ``--without-marginals``. Every row says what it is held against; a row that misses its bar is named
as missed, and the command then fails.
"""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from time import process_time
from typing import NamedTuple

import numpy as np

from leakdx.case import Case
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.reasoning.decision_tree import Compiler, summary
from tests.benchmarks import answered, larger
from tests.benchmarks import marginals as beside
from tests.published.policies.compared import FIXED, FIXED_ORDER_BAR, MEAN_BAR, OURS, SHIPPED, TAIL, TAIL_BAR, compare
from tests.published.policies.instances import DEAR
from tests.published.policies.shipped import BESIDE, FOLLOW, LESS_THAN, above, saved, where_it_goes, worked

TREE_NODES, TREE_CUT, TREE_SECONDS = 1500, 0.20, 30.0


class Row(NamedTuple):
    """One bar. ``met``: None where it is only printed beside."""

    what: str
    reference: str
    bar: str
    measured: str
    met: bool | None


def small_trucks(count: int, first: int = 0) -> Iterator[Row]:
    """Expected cost over the optimum, on small trucks drawn by as many seeds."""
    rows = compare(DEAR, range(first, first + count))
    ours, what = rows[OURS], f"expected cost over the optimum, {count} small trucks from seed {first}, dear checks"
    optimum = "dynamic programming"
    tail = float(np.percentile(ours, TAIL))
    yield Row(what, optimum, f"mean {MEAN_BAR}", f"{ours.mean():.4f}", bool(ours.mean() <= MEAN_BAR))
    yield Row("the same", optimum, f"{TAIL}th percentile {TAIL_BAR}", f"{tail:.4f}", tail <= TAIL_BAR)
    fixed = float(rows[FIXED].mean())
    yield Row("a fixed order with the same stop", optimum, f"{FIXED_ORDER_BAR} or worse", f"{fixed:.4f}",
              fixed >= FIXED_ORDER_BAR)  # fmt: skip
    yield Row("the shipped rule, floor and waiting", optimum, "", f"{rows[SHIPPED].mean():.4f}", None)


def drawn_trucks(count: int, keep: Path | None, jobs: int) -> Iterator[Row]:
    """Cost above knowing the truth on trucks drawn from the shipped knowledge, and what it goes into."""
    found = worked("unchanged", 1, range(count), jobs, keep, (FOLLOW, *LESS_THAN, *BESIDE))
    for way in (*LESS_THAN, *BESIDE):
        (part, error), bar = saved(found, way), LESS_THAN.get(way)
        yield Row(f"cost above knowing the truth, {len(found[way])} trucks", way, f"{bar:.0%} less" if bar else "",
                  f"{part:.0%} ± {error:.0%} less", part >= bar if bar else None)  # fmt: skip
    for way, trucks in found.items():
        yield Row(f"above knowing, {above(trucks).mean():.0f} a truck", way, "", where_it_goes(trucks), None)


def tree() -> Iterator[Row]:
    """The decision tree from a wet joint."""
    knowledge = load_knowledge([shipped_folder()])
    began = process_time()
    made = summary(Compiler(knowledge).compile(Case(id="wet", complaint=knowledge.complaint, log=())))
    took, cut = process_time() - began, made.cut_rare + made.cut_deep
    yield Row("tree to depth 8, cut 1e-3", "", f"{TREE_NODES} states", f"{made.nodes}", made.nodes <= TREE_NODES)
    yield Row("the same", "", f"{TREE_CUT:.0%} cut off", f"{cut:.0%}", cut <= TREE_CUT)
    yield Row("the same", "", f"{TREE_SECONDS:g} s", f"{took:.0f} s of processor time", took <= TREE_SECONDS)


def marginals() -> Iterator[Row]:
    """All marginals beside two libraries, as the benchmark of that name runs them."""
    for found in beside.every_kind():
        yield Row(f"agreement, {found.kind}", "pyAgrum", f"{beside.EXACT:g}", f"{found.off():.0e}",
                  found.off() <= beside.EXACT)  # fmt: skip
        for name, bar in found.bars.items():
            ratio = found.ratio(name)
            yield Row(f"all marginals, cold, {found.kind}", name, f"{bar:g} times faster" if bar else "",
                      found.said(name), ratio >= bar if bar else None)  # fmt: skip


def answers() -> Iterator[Row]:
    """A whole answer beside one set of marginals, and a larger knowledge beside today's."""
    found = answered.ratios()
    what, reference = f"after one answer, 5 yes, {len(found)} trucks", "pyAgrum: one set of marginals"
    for more, bar, ratio in (
        ("rules, posterior, zones, repairs", answered.WITHOUT_CHECK, median(r.without_check for r in found)),
        ("the same and the next check", answered.WITH_CHECK, median(r.with_check for r in found)),
    ):
        yield Row(f"{more}, {what}", reference, f"{bar:g} times as long", f"{ratio:.1f} times", ratio <= bar)
    ratio = median(larger.ratios(larger.TRUCKS))
    what, at_most = f"all marginals, knowledge {larger.TIMES} times as large", f"{larger.BAR:g} times as long"
    yield Row(what, "today's size", at_most, f"{ratio:.1f} times", ratio <= larger.BAR)


def main() -> int:
    """Print the table row by row."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--instances", type=int, default=100, help="small trucks")
    parser.add_argument(
        "--blocks", type=int, default=1, help="of so many small trucks each, drawn by seeds that follow"
    )
    parser.add_argument("--trucks", type=int, default=200, help="trucks drawn from the shipped knowledge")
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="worked trucks are kept there; a run goes on")
    parser.add_argument("--jobs", type=int, default=2, help="processes")
    parser.add_argument("--without-tree", action="store_true")
    parser.add_argument("--without-marginals", action="store_true")
    args = parser.parse_args()
    parts = [
        *([] if args.without_marginals else [marginals(), answers()]),
        *(small_trucks(args.instances, args.instances * block) for block in range(args.blocks) if args.instances),
        *([drawn_trucks(args.trucks, args.keep, args.jobs)] if args.trucks else []),
        *([] if args.without_tree else [tree()]),
    ]
    print("| what | beside | bar | measured | |\n|---|---|---|---|---|", flush=True)
    missed = False
    for row in (row for part in parts for row in part):
        missed |= row.met is False
        verdict = {True: "met", False: "**missed**", None: ""}[row.met]
        print(f"| {row.what} | {row.reference} | {row.bar} | {row.measured} | {verdict} |", flush=True)
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
