"""Arguments and help of ``leakdx report``."""

from leakdx.commands.parsing import Commands, add_case, add_knowledge, add_store, command


def add_report(commands: Commands) -> None:
    """The command that writes pages."""
    made = command(
        commands,
        "report",
        "a page to hand over, as HTML or PDF",
        "Write a page of a case: for the customer; the repair record; the job sheet for the bay,\n"
        "to be filled in by pen. HTML is one file that needs nothing else and reads well on a\n"
        "phone; PDF is for paper.",
        "examples:\n"
        "  leakdx report case.yaml --for job\n"
        "  leakdx report case.yaml --for customer\n"
        "  leakdx report case.yaml --for customer --to html -o page.html\n",
    )
    add_case(made)
    made.add_argument(
        "--for", dest="reader", choices=("customer", "record", "job"), required=True, help="whom the page is for"
    )
    made.add_argument("--to", choices=("pdf", "html"), help="what is made (default: as FILE is named, else pdf)")
    made.add_argument("-o", dest="out", metavar="FILE", help="where to, - for standard output (default: CASE-WHOM.pdf)")
    made.add_argument("--paper", choices=("letter", "a4"), default="letter", help="size of the PDF (default: letter)")
    made.add_argument("--force", action="store_true", help="overwrite FILE")
    made.add_argument("--shop", metavar="ID", help="decide by these shop settings instead of the case's")
    add_store(made)
    add_knowledge(made)
