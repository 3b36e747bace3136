"""Arguments of ``leakdx cases`` and ``leakdx store``."""

import argparse

from leakdx.case import OUTCOMES
from leakdx.commands.parsing import Commands, Parser, add_knowledge, add_store, command, count

_ID = "the id of a case in the store, or the beginning of one"


def add_cases(commands: Commands) -> None:
    """``leakdx cases``: what is in the case store."""
    about = (
        "List, find, show, close, reopen and merge the cases of the store, and take them in and\n"
        "out. What they come to says 'leakdx diagnose ID'."
    )
    examples = "examples:\n  leakdx cases list\n  leakdx cases find tractor 17 --open\n  leakdx cases show k7m3\n"
    group = command(commands, "cases", "the cases in the store", about, examples)
    kinds = group.add_subparsers(metavar="COMMAND", required=True, parser_class=Parser)
    for add in (
        _list,
        _find,
        _show,
        _close,
        _reopen,
        _photo,
        _photos,
        _merge,
        _import,
        _export,
        _tool,
        _forget,
        _replay,
    ):
        add(kinds)


def add_store_command(commands: Commands) -> None:
    """``leakdx store``: the store as a whole."""
    about = "Check the case store, back it up, restore a backup, or salvage a damaged one."
    group = command(commands, "store", "check, back up, restore or salvage the case store", about, _STORE_EXAMPLES)
    kinds = group.add_subparsers(metavar="COMMAND", required=True, parser_class=Parser)
    check = _store_kind(
        kinds,
        "check",
        "is everything in it as it was written",
        "Check every page, every entry against its seal and every photo against its hash. Nothing\n"
        "is changed. Exit code 6 where something is wrong.",
    )
    check.add_argument("--json", action="store_true", help="counts and faults for machines")
    backup = _store_kind(
        kinds,
        "backup",
        "write it whole into one file",
        "Write the store as it stands now into a new SQLite file, whatever it is kept in. Others\n"
        "may go on working meanwhile. A plain copy of the file would miss what was last saved.",
    )
    backup.add_argument("file", metavar="FILE", help="a new file")
    restore = _store_kind(
        kinds,
        "restore",
        "make a store out of a backup",
        "Make a store out of a backup. The store must not be there yet (SQLite) or hold no case\n"
        "(PostgreSQL); where anything fails nothing of it stays.",
    )
    restore.add_argument("file", metavar="FILE", help="what 'leakdx store backup' wrote")
    salvage = _store_kind(
        kinds,
        "salvage",
        "save what can be read of a damaged file",
        "Read a damaged SQLite store as far as it goes and write the cases into a new one. Of a\n"
        "case with a damaged entry all that stands before it is saved. The damaged file itself\n"
        "is not touched.",
    )
    salvage.add_argument("file", metavar="FILE", help="a new file")


_STORE_EXAMPLES = "examples:\n  leakdx store check\n  leakdx store backup monday.db\n"


def _store_kind(kinds: Commands, name: str, short: str, about: str) -> Parser:
    file = {"check": "", "backup": " monday.db", "restore": " monday.db", "salvage": " saved.db"}[name]
    made = command(kinds, name, short, about, f"examples:\n  leakdx store {name}{file}\n")
    made.set_defaults(module="store", what=name)
    add_store(made)
    return made


def _list(kinds: Commands) -> None:
    about = "List the open cases, those last worked on first; --closed or --all for others."
    examples = "examples:\n  leakdx cases list\n  leakdx cases list --all --json\n"
    made = command(kinds, "list", "the open cases", about, examples)
    made.set_defaults(module="cases.list", words=[])
    _add_filters(made)


def _find(kinds: Commands) -> None:
    about = (
        "Find cases, open and closed, in which all these words were typed: unit, story, notes and\n"
        "the like. Zone and cause are those that the case was last diagnosed with."
    )
    examples = "examples:\n  leakdx cases find tractor 17\n  leakdx cases find --cause old_residue --since 2026-01-01\n"
    made = command(kinds, "find", "cases with certain words, unit, zone, cause or date", about, examples)
    made.set_defaults(module="cases.list", all=True)
    made.add_argument("words", metavar="WORD", nargs="*", help="any part of what was typed")
    _add_filters(made, finds=True)


def _add_filters(made: Parser, finds: bool = False) -> None:
    state = made.add_mutually_exclusive_group()
    if finds:
        state.add_argument("--open", action="store_true", help="only cases that are open")
    else:
        state.add_argument("--all", action="store_true", help="closed ones too")
    state.add_argument("--closed", action="store_true", help="only cases that are closed")
    made.add_argument("--unit", metavar="TEXT", help="only trucks whose unit has this in its name")
    made.add_argument("--zone", metavar="ZONE", help="only where oil most likely came out there; by id or name")
    made.add_argument("--cause", metavar="CAUSE", help="only where this was the most likely cause; by id or name")
    made.add_argument("--since", metavar="DATE", help="only worked on at or after this date")
    made.add_argument("--until", metavar="DATE", help="only worked on before the end of this date")
    made.add_argument("--limit", metavar="N", type=_count, default=50, help="at most so many (default: 50; 0: all)")
    made.add_argument("--json", action="store_true", help="for machines")
    add_store(made)


def _count(text: str) -> int:
    found = count(text)
    if found < 0:
        raise argparse.ArgumentTypeError("a count is 0 or more")
    return found


def _show(kinds: Commands) -> None:
    about = "Show a case: the truck, every entry with who and when, and what was shown of it."
    made = _of_case(kinds, "show", "the log of a case", about, "examples:\n  leakdx cases show k7m3\n")
    made.add_argument("--json", action="store_true", help="for machines")
    add_knowledge(made)


def _close(kinds: Commands) -> None:
    about = "Close a case: did the repair hold? It stays in the store; a comeback opens it again."
    examples = "examples:\n  leakdx cases close k7m3 --as held --who AB\n"
    made = _of_case(kinds, "close", "the case is done", about, examples)
    made.add_argument("--as", dest="outcome", choices=OUTCOMES, required=True, help="held, not held or not known")
    _add_who(made)


def _reopen(kinds: Commands) -> None:
    about = "Open a closed case again; with --comeback the truck came back wet after its repair."
    examples = "examples:\n  leakdx cases reopen k7m3 --comeback carrier_joint --who AB\n"
    made = _of_case(kinds, "reopen", "work on a closed case again", about, examples)
    made.add_argument("--comeback", metavar="PLACE", help="where it is wet again: a place of the knowledge")
    _add_who(made)


def _photo(kinds: Commands) -> None:
    about = (
        "Attach photos and files to a case: JPEG, PNG and WebP pictures, PDFs and plain text, by\n"
        "what they hold, each an entry of the log. Of a photo only the picture, its time and its\n"
        "orientation are kept, not where it was taken. All of the files are attached, or none."
    )
    examples = 'examples:\n  leakdx cases photo k7m3 wet.jpg --who AB --note "before washing"\n'
    made = _of_case(kinds, "photo", "attach photos and files", about, examples)
    made.add_argument("files", metavar="FILE", nargs="+", help="a photo, a PDF or plain text of at most 20 MiB")
    made.add_argument("--keep-place", action="store_true", help="keep photos byte for byte, with place and device")
    _add_who(made)


def _photos(kinds: Commands) -> None:
    about = "List the photos and files of a case, or write them out, each named by its entry."
    examples = "examples:\n  leakdx cases photos k7m3\n  leakdx cases photos k7m3 -o photos --small\n"
    made = _of_case(kinds, "photos", "the photos and files of a case", about, examples)
    to = made.add_mutually_exclusive_group()
    to.add_argument("-o", dest="out", metavar="DIR", help="write them into this folder, over nothing that is there")
    to.add_argument("--json", action="store_true", help="for machines")
    made.add_argument("--small", action="store_true", help="with -o: small pictures, as for a report")
    add_knowledge(made)


def _merge(kinds: Commands) -> None:
    about = (
        "Make one case out of two of the same truck, its log in the order of time. Where one was\n"
        "begun after the other had been closed, that the truck came back is written before it.\n"
        "The two stay as they are, closed, and name the new one."
    )
    made = _of_case(
        kinds, "merge", "make one case out of two", about, "examples:\n  leakdx cases merge k7m3 q9xd --who AB\n"
    )
    made.add_argument("other", metavar="OTHER", help="the other case")
    made.add_argument("--as", dest="id", metavar="ID", help="the id of the new case (default: one is made)")
    made.add_argument("--same-truck", action="store_true", help="the units are named differently, and it is one truck")
    _add_who(made)


def _import(kinds: Commands) -> None:
    about = (
        "Take cases in: case files (.yaml), JSON lines (.jsonl), bundles (.zip). A case that is\n"
        "there already is added to where the file goes on from it, and else refused. All of a\n"
        "file is taken in, or nothing."
    )
    examples = "examples:\n  leakdx cases import case.yaml\n  leakdx cases import other-shop.zip\n"
    made = command(kinds, "import", "take cases in from files", about, examples)
    made.set_defaults(module="cases.transfer", what="import")
    made.add_argument("files", metavar="FILE", nargs="+", help="case files, JSON lines or bundles")
    made.add_argument("--as", dest="id", metavar="ID", help="another id for the case of the one file")
    add_store(made)
    add_knowledge(made)


def _export(kinds: Commands) -> None:
    about = (
        "Write cases into a file, its kind by its name: .yaml (one case, as 'leakdx ask' writes\n"
        "it), .zip (a bundle: cases with photos, what was shown and the knowledge behind it),\n"
        ".jsonl (a case on each line), .csv (an entry on each line, for a spreadsheet; it cannot\n"
        "be taken in again)."
    )
    examples = "examples:\n  leakdx cases export k7m3 -o case.yaml\n  leakdx cases export --all -o all.zip --redact\n"
    made = command(kinds, "export", "write cases into a file", about, examples)
    made.set_defaults(module="cases.transfer", what="export")
    made.add_argument("cases", metavar="CASE", nargs="*", help=_ID)
    made.add_argument("--all", action="store_true", help="every case of the store")
    made.add_argument(
        "-o", dest="out", metavar="FILE", required=True, help="where to; never over a file unless --force"
    )
    made.add_argument("--force", action="store_true", help="overwrite FILE")
    made.add_argument(
        "--redact",
        action="store_true",
        help="leave out unit, truck, story, notes, names and photos: what says whose it is",
    )
    add_store(made)
    add_knowledge(made)


def _tool(kinds: Commands) -> None:
    about = (
        "Say which cases hold readings by a measuring tool, by the name that stands beside them.\n"
        "With --bad it was found to be bad: the doubt is written into each of these cases, and\n"
        "they are diagnosed again without its readings until those are taken with another one."
    )
    examples = "examples:\n  leakdx cases tool W12\n  leakdx cases tool W12 --bad torque_wrench --who AB\n"
    made = command(kinds, "tool", "which cases rest on a measuring tool", about, examples)
    made.set_defaults(module="cases.tool")
    made.add_argument("tool", metavar="TOOL", help="its name, as it stands beside the readings")
    made.add_argument("--bad", metavar="KIND", help="it was bad; what it is: an instrument of the knowledge")
    made.add_argument("--chance", metavar="P", default="1", help="how likely it was bad (default: 1)")
    made.add_argument("--since", metavar="DATE", help="only readings written down at or after this date")
    add_store(made)
    _add_who(made, required=False)


def _forget(kinds: Commands) -> None:
    about = (
        "Take out of a case what says whose truck it was: unit, odometer and work, and the\n"
        "driver's own words, in every version that was kept. The log stands, and the case\n"
        "diagnoses as before. It cannot be brought back."
    )
    examples = "examples:\n  leakdx cases forget k7m3-q9xd --sure k7m3-q9xd\n"
    made = _of_case(kinds, "forget", "take out whose truck it was", about, examples)
    made.add_argument("--photos", action="store_true", help="its photos and files too, but those of other cases")
    made.add_argument("--sure", metavar="ID", help="the whole id once more")
    add_knowledge(made)


def _replay(kinds: Commands) -> None:
    about = (
        "Make every diagnosis that was shown of a case again, with its own knowledge and as much\n"
        "of the log as there was, and say whether it comes out the same. Exit code 6 where not."
    )
    made = _of_case(
        kinds, "replay", "do its diagnoses come out again", about, "examples:\n  leakdx cases replay k7m3\n"
    )
    made.add_argument("--json", action="store_true", help="for machines")


def _of_case(kinds: Commands, name: str, short: str, about: str, examples: str) -> Parser:
    made = command(kinds, name, short, about, examples)
    made.set_defaults(module=f"cases.{name}")
    made.add_argument("case", metavar="CASE", help=_ID)
    add_store(made)
    return made


def _add_who(made: Parser, required: bool = True) -> None:
    made.add_argument("--who", metavar="INITIALS", required=required, default="", help="who says so")
    made.add_argument("--bay", metavar="BAY", default="", help="in which bay")
    made.add_argument("--note", metavar="WORDS", default="", help="why, or anything else")
    add_knowledge(made)
