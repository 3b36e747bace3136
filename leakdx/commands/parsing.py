"""The parts that every command's arguments are made of."""

# argparse, since it costs 6 ms of a start and the nicer libraries cost 55.
import argparse
from collections.abc import Callable
from typing import Any, NoReturn, TypeAlias, TypeVar

from leakdx.commands.output import say
from leakdx.errors import UsageError

WIDTH = 88
Number = TypeVar("Number", int, float)


class Parser(argparse.ArgumentParser):
    """Says in one sentence what is wrong with a call, and leaves the ending to the caller."""

    def __init__(self, **given: Any) -> None:
        super().__init__(**given, formatter_class=_format, allow_abbrev=False)
        self.color = False  # Python 3.14 would colour the help

    def error(self, message: str) -> NoReturn:
        """Raise UsageError."""
        raise UsageError(f"{message}; '{self.prog} -h' shows how it is called")

    def print_help(self, file: object = None) -> None:
        """As data, so that an output without room is said; argparse passes over it."""
        say(self.format_help())


Commands: TypeAlias = "argparse._SubParsersAction[Parser]"


def _format(prog: str) -> argparse.HelpFormatter:
    return argparse.RawDescriptionHelpFormatter(prog, width=WIDTH, max_help_position=28)


def command(commands: Commands, name: str, short: str, about: str, examples: str = "") -> Parser:
    """One command, run by the module of its name unless it says otherwise."""
    made = commands.add_parser(name, help=short, description=about, epilog=examples)
    made.set_defaults(module=name)
    return made


def number(text: str) -> float:
    """A number as it is typed. Raises argparse.ArgumentTypeError."""
    return _read(float, text, "a number", "20")


def count(text: str) -> int:
    """A whole number as it is typed. Raises argparse.ArgumentTypeError."""
    return _read(int, text, "a whole number", "20")


def _read(kind: Callable[[str], Number], text: str, what: str, like: str) -> Number:
    try:
        return kind(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text[:60]!r} is not {what}; write one such as {like}") from None


def add_knowledge(parser: Parser) -> None:
    """The option that lays a shop's knowledge over the shipped one."""
    parser.add_argument(
        "--knowledge",
        metavar="DIR",
        help="a shop's own knowledge, laid over the shipped one; a folder that is whole in itself "
        "(it says its own complaint:) stands alone",
    )


def add_store(parser: Parser) -> None:
    """The option that names a case store."""
    parser.add_argument(
        "--store",
        metavar="URL",
        help="the case store: sqlite:///FILE or postgresql://USER@HOST/DATABASE (default: LEAKDX_STORE, or a file in "
        "the user's data folder)",
    )


CASE_HELP = "a case file (YAML), or the id of a case in the store or the beginning of one"


def add_case(parser: Parser) -> None:
    """The case that a command is about, and the store to look for it in."""
    parser.add_argument("case", metavar="CASE", help=CASE_HELP)
