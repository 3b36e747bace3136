"""``python -m tests.published.policies``: the tables of docs/planning.md on small trucks; some minutes."""

import argparse
import sys

import numpy as np

from tests.published.policies.compared import TAIL, Rows, bars_missed, compare
from tests.published.policies.instances import CHEAP, DEAR


def main() -> int:
    """Print the tables; fails where a bar is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--instances", type=int, default=100, help="small trucks of each kind")
    parser.add_argument("--changed", type=int, default=40, help="of them also in changed worlds")
    args = parser.parse_args()
    dear = compare(DEAR, range(args.instances))
    _print(f"Dear checks ({args.instances} trucks)", dear)
    _print(f"Cheap checks ({args.changed} trucks)", compare(CHEAP, range(args.changed)))
    for off in (2.0, 3.0):
        _print(f"Dear checks, all odds off by up to {off:g} ({args.changed} trucks)",
               compare(DEAR, range(args.changed), off))  # fmt: skip
    missed = bars_missed(dear)
    print("\n".join(missed) or "Every bar is met.")
    return int(bool(missed))


def _print(title: str, rows: Rows) -> None:
    print(f"### {title}\n\n| way to choose | mean | {TAIL}th percentile | most | within 1 % |\n|---|---|---|---|---|")
    for name, ratios in rows.items():
        tail, near = np.percentile(ratios, TAIL), (ratios <= 1.01).mean()
        print(f"| {name} | {ratios.mean():.4f} | {tail:.4f} | {ratios.max():.4f} | {near:.0%} |")
    print(flush=True)


if __name__ == "__main__":
    sys.exit(main())
