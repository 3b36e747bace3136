"""Commands, arguments and help. docs/commands.md holds every help text, and a test compares."""

# argparse, since it costs 6 ms of a start and the nicer libraries cost 55.
import argparse
import re
from enum import Enum
from typing import Any, NoReturn, TypeAlias

from leakdx.commands.output import say
from leakdx.errors import UsageError

WIDTH = 88

_EXAMPLES = """\
examples:
  leakdx diagnose docs/cases/01-pinion-seal.yaml
  leakdx diagnose case.yaml --for customer
  leakdx ask
  leakdx why case.yaml
  leakdx draw case.yaml -o case.svg
"""


class _Parser(argparse.ArgumentParser):
    """Says in one sentence what is wrong with a call, and leaves the ending to the caller."""

    def __init__(self, **given: Any) -> None:
        super().__init__(**given, formatter_class=_format, allow_abbrev=False)
        self.color = False  # Python 3.14 would colour the help

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message}; '{self.prog} -h' shows how it is called")

    def print_help(self, file: object = None) -> None:
        """As data, so that an output without room is said; argparse passes over it."""
        say(self.format_help())


class _Version(argparse.Action):
    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from leakdx import __version__

        _print(parser, f"leakdx {__version__}\n")


class _Schema(argparse.Action):
    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from leakdx.commands.schema import diagnosis_schema_text  # only asked for by whoever writes a reader

        _print(parser, diagnosis_schema_text())


def _print(parser: argparse.ArgumentParser, text: str) -> NoReturn:
    """What was asked for is data; argparse's own way writes it to standard error."""
    say(text)
    parser.exit()


def _format(prog: str) -> argparse.HelpFormatter:
    return argparse.RawDescriptionHelpFormatter(prog, width=WIDTH, max_help_position=28)


def parser() -> argparse.ArgumentParser:
    """The parser of the whole command line; ``args.module`` names the module of leakdx.commands to run."""
    about = (
        "Find out why a heavy truck's drive axle is wet at the joint of carrier and housing:\n"
        "fit to drive, where it comes out, what failed, what to check next, which repair holds."
    )
    top = _Parser(prog="leakdx", description=about, epilog=_EXAMPLES)
    top.add_argument("--version", action=_Version, nargs=0, help="show the version and exit")
    commands = top.add_subparsers(metavar="COMMAND", required=True, parser_class=_Parser)
    for add in (_diagnose, _ask, _why, _draw, _calc, _knowledge, _settings, _paths):
        add(commands)
    return top


_Commands: TypeAlias = "argparse._SubParsersAction[_Parser]"


def _command(commands: _Commands, name: str, short: str, about: str, examples: str = "") -> _Parser:
    """One command, run by the module of its name unless it says otherwise."""
    made = commands.add_parser(name, help=short, description=about, epilog=examples)
    made.set_defaults(module=name)
    return made


def _add_knowledge(command: _Parser) -> None:
    command.add_argument(
        "--knowledge",
        metavar="DIR",
        help="a shop's own knowledge, laid over the shipped one; a folder that is whole in itself "
        "(it says its own complaint:) stands alone",
    )


def _diagnose(commands: _Commands) -> None:
    command = _command(
        commands,
        "diagnose",
        "what a case comes to",
        "Say what a case comes to: fit to drive and holds first, then where, what failed, how\n"
        "sure, the next check with its minutes, and the repairs with what each leaves unfixed.",
        "examples:\n"
        "  leakdx diagnose case.yaml\n"
        "  leakdx diagnose case.yaml --for customer\n"
        "  leakdx diagnose case.yaml --json | python -m json.tool\n",
    )
    command.add_argument("case", metavar="CASE", help="a case file (YAML)")
    how = command.add_mutually_exclusive_group()
    how.add_argument(
        "--for",
        dest="reader",
        choices=("technician", "customer"),
        default="technician",
        help="whom it is said to (default: technician)",
    )
    how.add_argument("--json", action="store_true", help="the whole answer for machines")
    command.add_argument("--shop", metavar="ID", help="decide by these shop settings instead of the case's")
    command.add_argument("--schema", action=_Schema, nargs=0, help="show the JSON Schema of --json and exit")
    _add_knowledge(command)


def _ask(commands: _Commands) -> None:
    command = _command(
        commands,
        "ask",
        "the interview, question by question",
        "Ask about the truck, one question at a time, until the repair is clear. Each answer is\n"
        "saved before the next question; stop at any point and start again with the same file.",
        "Answers are numbers or words; h in the interview shows what else can be typed.\n\n"
        "examples:\n"
        "  leakdx ask                     a new case in this folder\n"
        "  leakdx ask case.yaml           go on where it stopped\n"
        "  leakdx ask case.yaml --who AB < answers.txt\n",
    )
    command.add_argument("case", metavar="CASE", nargs="?", help="a case file; made where there is none")
    command.add_argument("--who", metavar="INITIALS", help="who answers; asked for otherwise")
    _add_knowledge(command)


def _why(commands: _Commands) -> None:
    command = _command(
        commands,
        "why",
        "the reasons, as a tree",
        "Show what the answer, or one thing in it, stands on, down to the entries of the log.",
        "examples:\n  leakdx why case.yaml\n  leakdx why case.yaml reseal_with_sealant\n",
    )
    command.add_argument("case", metavar="CASE", help="a case file (YAML)")
    command.add_argument(
        "thing", metavar="THING", nargs="?", help="a cause, zone, repair, rule or finding, by id or name"
    )
    _add_knowledge(command)


def _draw(commands: _Commands) -> None:
    command = _command(
        commands,
        "draw",
        "the reasons, as a picture",
        "Draw what was seen, what follows from it and what is to be done. FILE ends in .svg for\n"
        "a picture or in .dot for the text of it; - writes the picture to standard output.",
        "examples:\n  leakdx draw case.yaml -o case.svg\n  leakdx draw case.yaml -o - > case.svg\n",
    )
    command.add_argument("case", metavar="CASE", help="a case file (YAML)")
    command.add_argument(
        "-o", dest="out", metavar="FILE", required=True, help="where to; never over a file unless --force"
    )
    command.add_argument("--force", action="store_true", help="overwrite FILE")
    _add_knowledge(command)


class Calculations(Enum):
    """What each says; each is a module of leakdx.commands.calc, which is loaded when it is called."""

    flatness = "is a face flat enough, and how sure is that"
    fasteners = "torque, preload, and what a torque audit says"
    clamp = "how the faces are pressed together, and where they part"
    slip = "does the joint slip or open under the driveline's torque"
    weld = "how hot a weld makes the joint, and does the seal bear it"
    leak = "how much oil is lost, and how long it lasts"
    breather = "pressure in a closed axle as it warms"
    cure = "how deep sealant has cured"
    order = "in which order and passes the fasteners are tightened"
    place = "does the wet part stand with weak fasteners, a low face or a weld"
    level = "where the oil stands against the joint"


class _Calculation(_Parser):
    """Learns its arguments when it is called, since they take numbers of the trade that no other command needs.

    What begins as a number below 0 is one: -20degC is a temperature and no option.
    """

    def parse_known_args(self, *given: Any, **named: Any) -> Any:
        """As always, the arguments added first."""
        from leakdx.commands.calc import prepare

        prepare(self, self.prog.split()[-1], given[0] or ())
        self._negative_number_matcher = re.compile(r"-\.?\d")
        return super().parse_known_args(*given, **named)


def _calc(commands: _Commands) -> None:
    about = (
        "Work out one thing about the joint from shop measurements, without a case. Every number\n"
        "is typed with its unit (225lb-ft, 40mm, 35..45mm for a band), in inch or metric units."
    )
    examples = "examples:\n  leakdx calc fasteners 5/8-11 --grade 8 --torque 225lb-ft\n  leakdx calc weld -h\n"
    group = _command(commands, "calc", "work out the joint's mechanics from measurements", about, examples)
    kinds = group.add_subparsers(metavar="COMMAND", required=True, parser_class=_Calculation)
    for each in Calculations:
        kinds.add_parser(each.name, help=each.value).set_defaults(module="calc", calculation=each.name)


def _knowledge(commands: _Commands) -> None:
    about = "Check the knowledge that leakdx reasons with, or get the schemas that editors check it by."
    group = _command(commands, "knowledge", "check the knowledge, or get its schemas", about)
    kinds = group.add_subparsers(metavar="COMMAND", required=True, parser_class=_Parser)
    check = _command(
        kinds,
        "check",
        "name every fault of a knowledge",
        "Name every fault as file:line:column, what is wrong and what would be right; then what\n"
        "is sound but worth a look. Without DIR the shipped knowledge is checked.",
        "examples:\n  leakdx knowledge check\n  leakdx knowledge check our-shop/\n"
        "  leakdx knowledge check --deep --cases our-cases/ -- our-shop/\n",
    )
    check.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        help="a shop's own knowledge, laid over the shipped one, or one that is whole in itself",
    )
    check.add_argument(
        "--deep",
        action="store_true",
        help="think it through as well: rules that never fire or contradict each other, causes "
        "that no check tells apart, evidence that counts twice, and more; takes a minute or two",
    )
    check.add_argument(
        "--cases",
        metavar="PLACE",
        nargs="+",
        help="folders of case files, or case files, for --deep (default: those of the project)",
    )
    check.add_argument("--json", action="store_true", help="counts and faults for machines")
    check.set_defaults(module="check")
    schema = _command(
        kinds,
        "schema",
        "the JSON Schemas of knowledge files",
        "Print the JSON Schema of a knowledge file, or write that of every kind into a folder.",
        "examples:\n  leakdx knowledge schema > knowledge.schema.json\n  leakdx knowledge schema -o schema/\n",
    )
    schema.add_argument("-o", dest="out", metavar="DIR", help="write one file for each kind into DIR")
    schema.set_defaults(module="knowledge")
    cases = _command(
        kinds,
        "cases",
        "hold a body of cases against the knowledge",
        "Diagnose every case file of some folders and name each claim of its expect: block that\n"
        "is not met, with the observations that weighed most. Exit code 6 where one is not met.",
        "examples:\n  leakdx knowledge cases tests/cases docs/cases\n"
        "  leakdx knowledge cases our-cases/ --knowledge our-shop/\n",
    )
    cases.add_argument("places", metavar="PLACE", nargs="+", help="a folder of case files, or one case file")
    cases.add_argument(
        "--coverage",
        action="store_true",
        help="say as well which causes, rules and repairs the cases do not reach",
    )
    cases.add_argument("--json", action="store_true", help="for machines")
    _add_knowledge(cases)
    _idle(kinds)


def _idle(kinds: _Commands) -> None:
    idle = _command(
        kinds,
        "idle",
        "name the pieces of a knowledge that no case needs",
        "Take out each rule, link, shift and history answer in turn and diagnose the cases it can\n"
        "reach: it is idle where no case meets other claims, recommends another path, asks\n"
        "another check, or holds with a chance that differs by .02. Exit code 6 where more than\n"
        "one in ten is idle, or one without a reason. Takes half an hour for a large body.",
        "examples:\n  leakdx knowledge idle --jobs 2\n"
        "  leakdx knowledge idle tests/cases --only rule --kept tests/data/kept_idle.yaml\n",
    )
    idle.add_argument(
        "places", metavar="PLACE", nargs="*", help="folders of case files, or case files (default: the project's)"
    )
    idle.add_argument("--jobs", type=int, default=1, metavar="N", help="processes to share the work (default: 1)")
    idle.add_argument(
        "--only",
        metavar="KIND",
        choices=("rule", "link", "leads_to", "also_zone", "shift", "answer"),
        help="only pieces of one kind: rule, link, leads_to, also_zone, shift or answer",
    )
    idle.add_argument("--kept", metavar="FILE", help="reasons why idle pieces are kept (YAML)")
    idle.add_argument("--json", action="store_true", help="every piece, with the case that misses it, for machines")
    _add_knowledge(idle)


def _settings(commands: _Commands) -> None:
    command = _command(
        commands,
        "settings",
        "what this shop charges and pays, and where that is set",
        "Show every value that decisions follow and where it comes from: a line of the shop's\n"
        "settings file, or the knowledge. The file is made the first time, all in comments.",
        'examples:\n  leakdx settings\n  nano "$(leakdx settings --path)"\n',
    )
    how = command.add_mutually_exclusive_group()
    how.add_argument("--path", action="store_true", help="only the name of the file")
    how.add_argument("--json", action="store_true", help="for machines")
    _add_knowledge(command)


def _paths(commands: _Commands) -> None:
    _command(
        commands,
        "paths",
        "where leakdx reads and keeps things",
        "Print where the knowledge, the settings and the cache are. Case files lie wherever you\nput them.",
    )
