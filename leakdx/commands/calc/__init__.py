"""``leakdx calc``: the joint's mechanics from shop measurements, each calculation a module of its own.

A module has ABOUT, EXAMPLES, ``arguments(parser)``, ``sheet(args)``, and where a picture says more ``svg(args)``;
FROM_AXLE names the options that an axle family of the knowledge may fill.
"""

from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from leakdx.commands.calc.axle import axle_arguments, fill
from leakdx.commands.inputs import knowledge_for, ways_here
from leakdx.commands.output import say, talk
from leakdx.errors import ExitCode, UsageError
from leakdx.explain.numbers import write_numbers


def prepare(parser: ArgumentParser, name: str, words: Sequence[str]) -> None:
    """Give a calculation's parser its help and arguments, and those that all have.

    ``words``: what the call says, for the numbers of the trade are those of the knowledge that it names.
    """
    module, known = _module(name), knowledge_for(_own(words))
    parser.description, parser.epilog = module.ABOUT, module.EXAMPLES
    module.arguments(parser, known)
    parser.set_defaults(known=known)
    if hasattr(module, "FROM_AXLE"):
        axle_arguments(parser)
    parser.add_argument("--knowledge", metavar="DIR", help="a shop's own knowledge, laid over the shipped one")
    parser.add_argument("--units", choices=("inch", "metric", "both"), help="to show (default: the shop's, or both)")
    parser.add_argument("--json", action="store_true", help="for machines, in SI units")
    if hasattr(module, "svg"):
        parser.add_argument("--svg", metavar="FILE", help="write the picture into FILE, never over one unless --force")
        parser.add_argument("--force", action="store_true", help="overwrite FILE")


def _own(words: Sequence[str]) -> str | None:
    """The folder behind --knowledge; what is wrong with the call is said when all of it is read."""
    finder = ArgumentParser(add_help=False, exit_on_error=False, allow_abbrev=False)
    finder.add_argument("--knowledge", nargs="?")
    own: str | None = finder.parse_known_args(list(words))[0].knowledge
    return own


def run(args: Namespace) -> int:
    """Work it out and print it."""
    from leakdx.commands.calc.sheet import as_json, as_text

    module = _module(args.calculation)
    ways = ways_here()
    args.units = args.units or ways.units or "both"
    write_numbers("point" if args.json else ways.numbers)
    if hasattr(module, "FROM_AXLE"):
        fill(args, module.FROM_AXLE)
    sheet = module.sheet(args)
    if getattr(args, "svg", None):
        _draw(args, module)
    say(as_json(sheet) if args.json else as_text(sheet, args.units))
    return ExitCode.OK


def _draw(args: Namespace, module: Any) -> None:
    from leakdx.store.files import USUAL, write_new

    if Path(args.svg).suffix != ".svg":
        raise UsageError(f"'{args.svg}' does not end in .svg; name it so")
    write_new(Path(args.svg), module.svg(args).encode(), replace=args.force, mode=USUAL)
    talk(f"{args.svg} is written")


def _module(name: str) -> Any:
    return import_module(f"leakdx.commands.calc.{name}")
