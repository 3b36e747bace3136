"""``leakdx why``: why, why not, what if, what would change it, how sure; as text, the last three for machines too."""

from argparse import Namespace
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from leakdx.commands.inputs import diagnosed, diagnosis_of, ways_here
from leakdx.commands.output import say
from leakdx.errors import ExitCode, UsageError

if TYPE_CHECKING:
    from leakdx.reasoning.diagnosis import Diagnosis

MOST_DRAWS = 10_000
MOST_PAIRS = 100_000


def run(args: Namespace) -> int:
    """Print what the answer, or one thing in it, stands on, or what would be otherwise."""
    asked = next((way for way in _WAYS if getattr(args, _dest(way))), "")
    _check(args, asked)
    say(_WAYS.get(asked, _why)(diagnosed(args), args))
    return ExitCode.OK


def _check(args: Namespace, asked: str) -> None:
    """Options that do not go together, before anything is worked out."""
    if args.thing is None and asked == "--not":
        raise UsageError("--not is about one thing; name it, such as leakdx why CASE crack --not")
    if args.thing is not None and asked in _WHOLE:
        raise UsageError(f"{asked} is about the whole answer; name no THING with it")
    if args.json and asked not in _WHOLE:
        raise UsageError(f"--json goes with {', '.join(_WHOLE[:-1])} or {_WHOLE[-1]}")
    _counted(args.draws, "--draws", "--how-sure", asked, 1, MOST_DRAWS)
    _counted(args.pairs, "--pairs", "--change", asked, 0, MOST_PAIRS)


def _counted(typed: int | None, option: str, of: str, asked: str, least: int, most: int) -> None:
    if typed is not None and asked != of:
        raise UsageError(f"{option} goes with {of}")
    if typed is not None and not least <= typed <= most:
        raise UsageError(f"{option} is a count of {least} to {most}, not {typed}")


def _why(diagnosis: "Diagnosis", args: Namespace) -> str:
    from leakdx.explain.why import why_text

    return why_text(diagnosis.knowledge, diagnosis.case, diagnosis, args.thing)


def _why_not(diagnosis: "Diagnosis", args: Namespace) -> str:
    from leakdx.explain.why import why_not_text

    return why_not_text(diagnosis, args.thing)


def _what_if(diagnosis: "Diagnosis", args: Namespace) -> str:
    from leakdx.explain.what_if import what_if, what_if_text
    from leakdx.interview.suppose import supposed

    case, tried = supposed(diagnosis.knowledge, diagnosis.case, args.tried, ways_here())
    after = diagnosis_of("with what is tried", diagnosis.knowledge, case)
    found = what_if(diagnosis, after, tried)
    return _json(found) if args.json else what_if_text(diagnosis, after, found)


def _what_changes(diagnosis: "Diagnosis", args: Namespace) -> str:
    from leakdx.explain.what_changes import what_changes_text
    from leakdx.reasoning.unseat import PAIRS_TRIED, unseating

    found = unseating(diagnosis, PAIRS_TRIED if args.pairs is None else args.pairs)
    return _json(found) if args.json else what_changes_text(diagnosis, found)


def _how_sure(diagnosis: "Diagnosis", args: Namespace) -> str:
    from leakdx.explain.how_sure import how_sure_text
    from leakdx.reasoning.sensitivity import hanging
    from leakdx.reasoning.uncertain import DRAWS, all_together

    hangs, together = hanging(diagnosis), all_together(diagnosis, args.draws or DRAWS)
    if args.json:
        return _json({"hangs_on": hangs, "together": together})
    return how_sure_text(diagnosis, hangs, together)


def _json(found: object) -> str:
    import msgspec

    return msgspec.json.format(msgspec.json.encode(found)).decode()


_WAYS: Mapping[str, Callable[["Diagnosis", Namespace], str]] = {
    "--not": _why_not,
    "--if": _what_if,
    "--change": _what_changes,
    "--how-sure": _how_sure,
}
_WHOLE = ("--if", "--change", "--how-sure")
"""What is asked of the whole answer, and printed for machines too."""


def _dest(way: str) -> str:
    """The name that the parser gives to an option."""
    return {"--not": "against", "--if": "tried"}.get(way, way.removeprefix("--").replace("-", "_"))
