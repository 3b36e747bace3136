"""Arguments and help of ``leakdx report``."""

from leakdx.commands.parsing import CASE_HELP, Commands, add_knowledge, add_store, command


def add_report(commands: Commands) -> None:
    """The command that writes pages."""
    made = command(
        commands,
        "report",
        "a page to hand over, as HTML or PDF",
        "Write a page of a case. customer: may it be driven, what was found, the ways to go on.\n"
        "record: complaint, cause, correction, measurements, photos. job: the job sheet for the\n"
        "bay with the measuring sheet, to be filled in by pen. trainer: the whole reasoning. tag:\n"
        "to hang in the cab. wall: the order of fasteners, what a bead and a leak say. HTML is\n"
        "one file that needs nothing else and reads well on a phone; PDF is for paper.",
        "examples:\n"
        "  leakdx report case.yaml --for customer\n"
        "  leakdx report case.yaml --for job --paper a4\n"
        "  leakdx report k7m3 --for record --to html -o record.html\n"
        "  leakdx report --for wall\n",
    )
    made.add_argument("case", metavar="CASE", nargs="?", help=f"{CASE_HELP}; only sheets for the wall need none")
    made.add_argument(
        "--for",
        dest="reader",
        choices=("customer", "record", "job", "trainer", "tag", "wall"),
        required=True,
        help="whom the page is for",
    )
    made.add_argument("--to", choices=("pdf", "html"), help="what is made (default: as FILE is named, else pdf)")
    made.add_argument("-o", dest="out", metavar="FILE", help="where to, - for standard output (default: CASE-WHOM.pdf)")
    made.add_argument("--paper", choices=("letter", "a4"), default="letter", help="size of the PDF (default: letter)")
    made.add_argument("--force", action="store_true", help="overwrite FILE")
    made.add_argument("--shop", metavar="ID", help="decide by these shop settings instead of the case's")
    add_store(made)
    add_knowledge(made)
