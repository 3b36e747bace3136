"""``leakdx knowledge cases``: hold a body of cases against the knowledge."""

import json
from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from leakdx.commands.inputs import knowledge_for
from leakdx.commands.output import say, talk
from leakdx.errors import ExitCode
from leakdx.knowledge.model import Knowledge

if TYPE_CHECKING:
    from leakdx.training.body import Truck
    from leakdx.training.coverage import Coverage


def run(args: Namespace) -> int:
    """Say which claims of which cases are not met; that some are not is an answer, and an exit code of its own."""
    from leakdx.training.body import read_trucks

    knowledge = knowledge_for(args.knowledge)
    trucks = list(read_trucks(map(Path, args.places), knowledge))
    failed = [truck for truck in trucks if truck.failures]
    reached = _coverage(knowledge, trucks) if args.coverage else None
    if args.json:
        say(_as_json(trucks, reached))
    else:
        say("\n".join([*map(_said, failed), *(_reached(reached) if reached else ()), _summary(trucks, failed)]))
    if failed:
        talk(f"{len(failed)} of {len(trucks)} cases are not met")
    return ExitCode.NOT_MET if failed else ExitCode.OK


def _said(truck: "Truck") -> str:
    from leakdx.training.judge import heaviest

    lines = [str(failure) for failure in truck.failures]
    return "\n".join([*lines, *(f"    {line}" for line in heaviest(truck.diagnosis))])


def _summary(trucks: Sequence["Truck"], failed: Sequence["Truck"]) -> str:
    silent = sum(truck.expectation is None for truck in trucks)
    more = f", {silent} without anything expected" if silent else ""
    return f"{len(trucks)} cases, {len(trucks) - len(failed)} as expected{more}"


def _coverage(knowledge: Knowledge, trucks: Sequence["Truck"]) -> "Coverage":
    from leakdx.training.coverage import coverage

    return coverage(knowledge, trucks)


def _reached(found: "Coverage") -> list[str]:
    """What the cases do not reach, then how many they reach of what there is."""
    counts = [
        f"  {what:<18} {n:>4} of {of:<4} {100 * n / max(of, 1):5.1f} %" for what, (n, of) in found.reached().items()
    ]
    return [*found.gaps(), f"{found.cases} cases reach", *counts]


def _as_json(trucks: Sequence["Truck"], reached: "Coverage | None") -> str:
    rows = [
        {
            "file": str(truck.file),
            "case": truck.case.id,
            "met": not truck.failures,
            "failures": [
                {"line": f.spot.line, "claim": f.claim, "expected": f.expected, "got": f.got} for f in truck.failures
            ],
        }
        for truck in trucks
    ]
    said: dict[str, Any] = {"cases": rows}
    if reached is not None:
        said["coverage"] = {**msgspec.to_builtins(reached), "reached": reached.reached(), "gaps": reached.gaps()}
    return json.dumps(said, indent=2, ensure_ascii=False)
