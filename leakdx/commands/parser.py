"""Commands, arguments and help. docs/commands.md holds every help text, and a test compares."""

import argparse
import re
from difflib import get_close_matches
from enum import Enum
from typing import Any, NoReturn

from leakdx.commands.output import say
from leakdx.commands.parsing import (
    CASE_HELP,
    Commands,
    Parser,
    add_case,
    add_knowledge,
    add_store,
    command,
    count,
    number,
)
from leakdx.commands.report_parser import add_report
from leakdx.commands.store_parser import add_cases, add_store_command

_EXAMPLES = """\
examples:
  leakdx                         the technician's screen
  leakdx diagnose docs/cases/01-pinion-seal.yaml
  leakdx diagnose case.yaml --for customer
  leakdx ask
  leakdx why case.yaml
  leakdx draw case.yaml -o case.svg
"""


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


def parser() -> argparse.ArgumentParser:
    """The parser of the whole command line; ``args.module`` names the module of leakdx.commands to run."""
    about = (
        "Find out why a heavy truck's drive axle is wet at the joint of carrier and housing:\n"
        "fit to drive, where it comes out, what failed, what to check next, which repair holds."
    )
    top = Parser(prog="leakdx", description=about, epilog=_EXAMPLES)
    top.add_argument("--version", action=_Version, nargs=0, help="show the version and exit")
    commands = top.add_subparsers(metavar="COMMAND", required=True, parser_class=Parser)
    working = (_screen, _diagnose, _ask, _why, _draw, _tree, add_report, _calc)
    for add in (*working, add_cases, add_store_command, _knowledge, _settings, _paths):
        add(commands)
    return top


def _diagnose(commands: Commands) -> None:
    made = command(
        commands,
        "diagnose",
        "what a case comes to",
        "Say what a case comes to: fit to drive and holds first, then where, what failed, how\n"
        "sure, the next check with its minutes, and the repairs with what each leaves unfixed.",
        "examples:\n"
        "  leakdx diagnose case.yaml\n"
        "  leakdx diagnose case.yaml --for customer\n"
        "  leakdx diagnose case.yaml --minutes 20\n"
        "  leakdx diagnose case.yaml --json | python -m json.tool\n",
    )
    add_case(made)
    how = made.add_mutually_exclusive_group()
    how.add_argument(
        "--for",
        dest="reader",
        choices=("technician", "customer"),
        default="technician",
        help="whom it is said to (default: technician)",
    )
    how.add_argument("--json", action="store_true", help="the whole answer for machines")
    made.add_argument("--shop", metavar="ID", help="decide by these shop settings instead of the case's")
    _add_minutes(made)
    made.add_argument("--schema", action=_Schema, nargs=0, help="show the JSON Schema of --json and exit")
    add_store(made)
    add_knowledge(made)


def _add_minutes(made: Parser) -> None:
    """The option of a time box."""
    made.add_argument(
        "--minutes",
        type=number,
        metavar="N",
        help="so long there is for looking: of the checks only those that fit, with what is opened for them; what a "
        "hold wants seen is asked all the same",
    )


def _ask(commands: Commands) -> None:
    made = command(
        commands,
        "ask",
        "the interview, question by question",
        "Ask about the truck, one question at a time, until the repair is clear. Each answer is\n"
        "saved before the next question; stop at any point and go on with the same case. A new\n"
        "case is kept in the case store, or in a file where one is named.",
        "Answers are numbers or words; h in the interview shows what else can be typed.\n\n"
        "examples:\n"
        "  leakdx ask                     a new case in the store\n"
        "  leakdx ask k7m3                go on with the case whose id begins so\n"
        "  leakdx ask case.yaml           go on where it stopped\n"
        "  leakdx ask case.yaml --who AB < answers.txt\n",
    )
    made.add_argument("case", metavar="CASE", nargs="?", help=f"{CASE_HELP}; a file is made where there is none")
    made.add_argument("--who", metavar="INITIALS", help="who answers; asked for otherwise")
    made.add_argument("--bay", metavar="BAY", help="in which bay; it is written beside each answer")
    _add_minutes(made)
    made.add_argument("--id", metavar="ID", help="the id of a new case in the store (default: one is made)")
    add_store(made)
    add_knowledge(made)


def _screen(commands: Commands) -> None:
    made = command(
        commands,
        "screen",
        "the technician's screen; 'leakdx' alone opens it too",
        "Work cases on a full screen, by keyboard or by mouse: the next check with its answers\n"
        "under number keys, what each answer changed, everything saved as it is answered. F1\n"
        "helps; k lists all keys. LEAKDX_ASCII=1 draws with plain characters only.",
        "examples:\n"
        "  leakdx                         the cases at hand\n"
        "  leakdx screen k7m3 --who AB    go on with the case whose id begins so\n",
    )
    made.add_argument("case", metavar="CASE", nargs="?", help="go on with this case of the store at once")
    made.add_argument("--who", metavar="INITIALS", help="who answers; asked for otherwise")
    made.add_argument("--bay", metavar="BAY", help="in which bay; it is written beside each answer")
    add_store(made)
    add_knowledge(made)


def _why(commands: Commands) -> None:
    made = command(
        commands,
        "why",
        "the reasons, as a tree",
        "Show what the answer, or one thing in it, stands on, down to the entries of the log.",
        "examples:\n  leakdx why case.yaml\n  leakdx why case.yaml reseal_with_sealant\n"
        '  leakdx why case.yaml crack --not\n  leakdx why case.yaml --if "bead skin fold: yes"\n'
        "  leakdx why case.yaml --change\n  leakdx why case.yaml --how-sure\n",
    )
    add_case(made)
    made.add_argument("thing", metavar="THING", nargs="?", help="a cause, zone, repair, rule or finding, by id or name")
    ways = made.add_mutually_exclusive_group()
    ways.add_argument(
        "--not",
        dest="against",
        action="store_true",
        help="why not THING: what stands against it, and what would have to be found for it",
    )
    ways.add_argument(
        "--if",
        dest="tried",
        metavar="WORDS",
        action="append",
        help="what would be otherwise with an answer that is only tried, such as "
        '"breather does not flow: yes", "did ACT" or "without ENTRY"; may be given more than once',
    )
    ways.add_argument(
        "--change",
        action="store_true",
        help="which answers, still to be had or given otherwise, would change the cause or the repair, alone "
        "or in pairs; takes up to a minute",
    )
    ways.add_argument(
        "--how-sure",
        action="store_true",
        help="on which judged numbers the cause and the repair hang, how far each may be off, and how often they "
        "stand with all of them uncertain at once; takes some seconds",
    )
    made.add_argument("--pairs", type=count, metavar="N", help="pairs of answers tried for --change (default: 400)")
    made.add_argument(
        "--draws", type=count, metavar="N", help="sets of uncertain numbers for --how-sure (default: 100)"
    )
    made.add_argument("--json", action="store_true", help="what --if, --change or --how-sure finds, for machines")
    add_store(made)
    add_knowledge(made)


def _draw(commands: Commands) -> None:
    made = command(
        commands,
        "draw",
        "the reasons, as a picture",
        "Draw what was seen, what follows from it and what is to be done; or one thing and all it\n"
        "stands on; or the flange with what has a place on it: where it is wet, weak fasteners,\n"
        "heights of the faces, a weld. FILE ends in .svg or .png for a picture, in .dot for the\n"
        "text of it (not the flange); - writes the picture as SVG to standard output.",
        "examples:\n  leakdx draw case.yaml -o case.svg\n  leakdx draw case.yaml crack -o crack.svg\n"
        "  leakdx draw case.yaml --flange -o flange.svg\n"
        "  leakdx draw case.yaml -o case.png --dark\n  leakdx draw case.yaml -o - > case.svg\n",
    )
    add_case(made)
    made.add_argument("thing", metavar="THING", nargs="?", help="one thing, named as for leakdx why")
    made.add_argument("--flange", action="store_true", help="the flange as it is seen from the pinion's side")
    _add_out(made)
    add_store(made)
    add_knowledge(made)


def _add_out(made: Parser) -> None:
    """Where a picture is written to."""
    made.add_argument(
        "-o", dest="out", metavar="FILE", required=True, help="where to; never over a file unless --force"
    )
    made.add_argument("--force", action="store_true", help="overwrite FILE")
    _add_dark(made)


def _add_dark(made: Parser) -> None:
    made.add_argument("--dark", action="store_true", help="for a dark page; without it the ground is white")


def _tree(commands: Commands) -> None:
    made = command(
        commands,
        "tree",
        "what is checked when, as a decision tree",
        "Compile the order of checks into a tree: from an axle reported wet of which nothing is\n"
        "known, or from a case as it stands, to the repairs that it ends in, with the chance, the\n"
        "time and the money of each. Rare results and what lies too deep are cut off; the mass\n"
        "that is cut is said. A page shows three checks below one another and names the pages\n"
        "where it goes on. Takes a minute or so from nothing, seconds from a case.",
        "examples:\n  leakdx tree case.yaml\n  leakdx tree case.yaml --page all\n"
        "  leakdx tree --json > tree.json\n  leakdx tree case.yaml -o tree.svg --page all\n",
    )
    made.add_argument("case", metavar="CASE", nargs="?", help=f"{CASE_HELP}; without it nothing is known but the leak")
    made.add_argument("--page", metavar="N", default="1", help="a page of the tree, or all (default: 1)")
    made.add_argument("--json", action="store_true", help="the whole tree for machines")
    made.add_argument(
        "-o", dest="out", metavar="FILE", help="draw it; FILE ends in .svg, .png or .dot, further pages in -2.svg"
    )
    made.add_argument("--force", action="store_true", help="overwrite FILE")
    _add_dark(made)
    made.add_argument(
        "--cut", type=number, default=1e-3, metavar="P", help="cut off branches with less chance (default: 0.001)"
    )
    made.add_argument("--depth", type=count, default=8, metavar="N", help="cut off after so many answers (default: 8)")
    made.add_argument(
        "--floor", type=number, default=60, metavar="MIN", help="ask for what is worth so many minutes (default: 60)"
    )
    add_store(made)
    add_knowledge(made)


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


class _Calculation(Parser):
    """Learns its arguments when it is called, since they take numbers of the trade that no other command needs.

    What begins as a number below 0 is one: -20degC is a temperature and no option. A unit may stand apart: 225 lb-ft.
    """

    def parse_known_args(self, words: Any = None, namespace: Any = None) -> Any:
        """As always, the arguments added first."""
        from leakdx.commands.calc import prepare
        from leakdx.commands.calc.typed import with_units

        words = with_units(words or ())
        prepare(self, self.prog.split()[-1], words)
        self._negative_number_matcher = re.compile(r"-\.?\d")
        known, rest = super().parse_known_args(words, namespace)
        if rest:
            near = get_close_matches(rest[0], self._option_string_actions, n=1)
            self.error(f"'{rest[0][:40]}' is no part of it{f'; did you mean {near[0]}?' if near else ''}")
        return known, rest


def _calc(commands: Commands) -> None:
    about = (
        "Work out one thing about the joint from shop measurements, without a case. Every number\n"
        "is typed with its unit (225lb-ft, 40mm, 35..45mm for a band), in inch or metric units."
    )
    examples = "examples:\n  leakdx calc fasteners 5/8-11 --grade 8 --torque 225lb-ft\n  leakdx calc weld -h\n"
    group = command(commands, "calc", "work out the joint's mechanics from measurements", about, examples)
    kinds = group.add_subparsers(metavar="COMMAND", required=True, parser_class=_Calculation)
    for each in Calculations:
        kinds.add_parser(each.name, help=each.value).set_defaults(module="calc", calculation=each.name)


def _knowledge(commands: Commands) -> None:
    about = "Check the knowledge that leakdx reasons with, or get the schemas that editors check it by."
    group = command(commands, "knowledge", "check the knowledge, or get its schemas", about)
    kinds = group.add_subparsers(metavar="COMMAND", required=True, parser_class=Parser)
    check = command(
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
        "that no check tells apart, evidence that counts twice, and more; takes five to ten minutes",
    )
    check.add_argument(
        "--cases",
        metavar="PLACE",
        nargs="+",
        help="folders of case files, or case files, for --deep (default: those of the project)",
    )
    check.add_argument("--json", action="store_true", help="counts and faults for machines")
    check.set_defaults(module="check")
    schema = command(
        kinds,
        "schema",
        "the JSON Schemas of knowledge files",
        "Print the JSON Schema of a knowledge file, or write that of every kind into a folder.",
        "examples:\n  leakdx knowledge schema > knowledge.schema.json\n  leakdx knowledge schema -o schema/\n",
    )
    schema.add_argument("-o", dest="out", metavar="DIR", help="write one file for each kind into DIR")
    schema.set_defaults(module="knowledge")
    drawn = command(
        kinds,
        "map",
        "the causes by zone, as a picture",
        "Draw the causes of a knowledge by the zone where their oil comes out, with their shares\n"
        "and which leads to which; or one zone, with what each of its causes shows and how often.",
        "examples:\n  leakdx knowledge map -o map.svg\n  leakdx knowledge map carrier_joint -o joint.svg\n",
    )
    drawn.add_argument("zone", metavar="ZONE", nargs="?", help="one zone, by id or name")
    _add_out(drawn)
    add_knowledge(drawn)
    drawn.set_defaults(module="map")
    cases = command(
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
    add_knowledge(cases)
    cases.set_defaults(module="body")
    _idle(kinds)


def _idle(kinds: Commands) -> None:
    idle = command(
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
    idle.add_argument("--jobs", type=count, default=1, metavar="N", help="processes to share the work (default: 1)")
    idle.add_argument(
        "--only",
        metavar="KIND",
        choices=("rule", "link", "leads_to", "also_zone", "shift", "answer"),
        help="only pieces of one kind: rule, link, leads_to, also_zone, shift or answer",
    )
    idle.add_argument("--kept", metavar="FILE", help="reasons why idle pieces are kept (YAML)")
    idle.add_argument("--json", action="store_true", help="every piece, with the case that misses it, for machines")
    add_knowledge(idle)


def _settings(commands: Commands) -> None:
    made = command(
        commands,
        "settings",
        "what this shop charges and pays, and where that is set",
        "Show every value that decisions follow and where it comes from: a line of the shop's\n"
        "settings file, or the knowledge. The file is made the first time, all in comments.",
        'examples:\n  leakdx settings\n  nano "$(leakdx settings --path)"\n',
    )
    how = made.add_mutually_exclusive_group()
    how.add_argument("--path", action="store_true", help="only the name of the file")
    how.add_argument("--json", action="store_true", help="for machines")
    add_knowledge(made)


def _paths(commands: Commands) -> None:
    command(
        commands,
        "paths",
        "where leakdx reads and keeps things",
        "Print where the knowledge, the settings, the cache and the case store are. Case files lie\n"
        "wherever you put them.",
    )
