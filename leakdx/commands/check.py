"""``leakdx knowledge check``: every fault of a knowledge, then what is sound but worth a look."""

import json
from argparse import Namespace
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from leakdx.commands.inputs import is_whole, knowledge_folders, trucks_of
from leakdx.commands.output import say, talk
from leakdx.errors import ExitCode, KnowledgeError
from leakdx.knowledge.faults import Code, Fault
from leakdx.knowledge.hints import Hint, spot_of
from leakdx.knowledge.lint import holds_about, lint, mean_count
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge

if TYPE_CHECKING:
    from leakdx.reasoning.lint_counts import MeanCount, Told

_PAIRS_SHOWN = 3
_COUNTED = (
    "zones", "places", "families", "causes", "signs", "history", "checks", "repairs", "rules", "findings", "cautions",
    "openings", "acts", "instruments", "sources", "axles", "shops",
)  # fmt: skip
_COUNTED_IN_TEXT = ("zones", "causes", "signs", "history", "checks", "repairs", "rules", "axles", "shops")


def run(args: Namespace) -> int:
    """Faults are what this command is asked for, so they are data: standard output, and an exit code."""
    try:
        knowledge = load_knowledge(knowledge_folders(args.folder))
    except KnowledgeError as error:
        return _refused(args, error, {})
    try:
        once_told = _once_told(knowledge)
    except KnowledgeError as error:
        return _refused(args, error, counts(knowledge), knowledge)
    hints = [*lint(knowledge)]
    if args.deep:
        from leakdx.training.deep import deep_lint

        stands_alone = args.folder is not None and is_whole(Path(args.folder))
        hints += deep_lint(knowledge, trucks_of(args.cases or (), knowledge, usual=not stands_alone))
    if args.json:
        found = [found for found in hints if found.code != Hint.MEAN_COUNT]
        say(_as_json(found, counts(knowledge), knowledge, once_told))
    else:
        sound = ", ".join(f"{n} {kind}" for kind, n in counts(knowledge).items() if kind in _COUNTED_IN_TEXT)
        say("\n".join([*map(str, hints), *_in_words(once_told), f"sound: {sound}"]))
    return ExitCode.OK


def counts(knowledge: Knowledge) -> dict[str, int]:
    """How many entries of each kind; place signs, which nobody writes, apart from the written ones."""
    found = {kind: len(getattr(knowledge, kind)) for kind in _COUNTED}
    places = sum(bool(sign.place) for sign in knowledge.signs.values())
    answers = sum(len(group.answers) for group in knowledge.history.values())
    links = sum(len(cause.shows) + len(cause.looks) for cause in knowledge.causes.values())
    return {**found, "signs": found["signs"] - places, "place_signs": places, "answers": answers, "links": links}


def _refused(
    args: Namespace, error: KnowledgeError, counted: Mapping[str, int], knowledge: Knowledge | None = None
) -> int:
    if args.json:
        say(_as_json(_faults(error, knowledge), counted))
    else:
        say("\n".join(error.faults))
    talk(f"{len(error.faults)} to mend")
    return ExitCode.KNOWLEDGE


def _faults(error: KnowledgeError, knowledge: Knowledge | None) -> list[Fault]:
    """The faults behind an error; a share that cannot be met is placed at its cause."""
    reasons = getattr(error, "reasons", {})
    if knowledge is None or not reasons:
        return [part for part in error.parts if isinstance(part, Fault)]
    return [
        Fault(spot_of(_at(knowledge, cause)), Code.SHARE_NOT_MET.value, *reason.split("; ", 1))
        for cause, reason in reasons.items()
    ]


def _at(knowledge: Knowledge, cause: str) -> str:
    return knowledge.causes[cause].at if cause in knowledge.causes else knowledge.words.at


def _as_json(
    faults: Sequence[Fault],
    counted: Mapping[str, int],
    knowledge: Knowledge | None = None,
    once_told: "Sequence[MeanCount]" = (),
) -> str:
    rows = [
        {
            "file": fault.spot.file,
            "line": fault.spot.line,
            "column": fault.spot.column,
            "code": str(fault.code),
            "wrong": fault.wrong,
            "right": fault.right,
        }
        for fault in faults
    ]
    said: dict[str, Any] = {"sound": knowledge is not None, "counts": dict(counted), "faults": rows}
    if knowledge is not None:
        mean = mean_count(knowledge)
        said["mean_count"] = {
            "causes_per_wet_axle": round(mean, 6),
            "single_repair_holds_about": round(holds_about(mean), 6),
            "once_told": [{"told": dict(c.told), "mean": round(c.mean, 6)} for c in once_told if len(c.told) == 1],
        }
    return json.dumps(said, indent=2, ensure_ascii=False)


def _once_told(knowledge: Knowledge) -> "tuple[MeanCount, ...]":
    """How many causes are expected to leak once an answer is told. ShareError where no base rates meet the shares."""
    from leakdx.reasoning.belief import compile_model
    from leakdx.reasoning.lint_counts import mean_counts

    return mean_counts(knowledge, compile_model(knowledge))


def _in_words(found: "Sequence[MeanCount]") -> list[str]:
    """The mean count once each answer is told, and of pairs the extreme ones."""
    alone = [c for c in found if len(c.told) == 1]
    pairs = sorted((c for c in found if len(c.told) == 2), key=lambda c: c.mean)
    if not alone:
        return []
    extreme = pairs if len(pairs) <= 2 * _PAIRS_SHOWN else [*pairs[:_PAIRS_SHOWN], *pairs[-_PAIRS_SHOWN:]]
    lines = [f"causes expected to leak per wet axle: {found[0].mean:.3f}; once this is told:"]
    lines += [f"  {c.mean:.3f}  {_said(c.told)}" for c in alone]
    lines += ["and of all pairs the lowest and the highest:"]
    return [*lines, *(f"  {c.mean:.3f}  {_said(c.told)}" for c in extreme)]


def _said(told: "Told") -> str:
    return " and ".join(f"{group}: {answer}" for group, answer in told)
