"""The command line: which command, and how it ends.

Data goes to standard output, talk to standard error. However a command ends, there is an exit code that
docs/commands.md explains and one sentence instead of a trace (LEAKDX_DEBUG=1 shows the trace too). No
colour and no escape codes anywhere: what matters is said in words.
"""

import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from leakdx.commands.output import OutputError, flush, is_terminal, silence, talk
from leakdx.commands.parser import parser
from leakdx.errors import CaseError, ExitCode, KnowledgeError, LeakdxError, SettingsError


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code and never raises."""
    try:
        _write_what_the_terminal_can()
        return _run(argv)
    except KeyboardInterrupt:
        return ExitCode.INTERRUPTED
    except BrokenPipeError:  # as with ``| head``: the reader has what it wanted
        silence()
        return ExitCode.OK
    except LeakdxError as error:
        if isinstance(error, OutputError):
            silence()
        _trace()
        _complain(error)
        return error.exit_code
    except Exception as error:  # the last floor: whatever it is, the user gets one sentence
        _trace()
        _complain(LeakdxError(_unforeseen(error)))
        return ExitCode.INTERNAL


def _run(argv: Sequence[str] | None) -> int:
    """Run the command, and see that what it said has arrived."""
    try:
        args = parser().parse_args(_or_screen(sys.argv[1:] if argv is None else argv))
        code: int = import_module(f"leakdx.commands.{args.module}").run(args)
    except SystemExit as stop:  # how argparse ends after -h and --version
        code = stop.code if isinstance(stop.code, int) else ExitCode.OK
    flush()
    return code


def _or_screen(words: Sequence[str]) -> Sequence[str]:
    """Without a word it is the screen, where there is a terminal to draw it on, and the help elsewhere."""
    if words:
        return words
    return ["screen"] if is_terminal() else ["-h"]


def _complain(error: LeakdxError) -> None:
    """One sentence on standard error; faults of files keep ``file:line:column`` first, so that editors jump to it."""
    prefix = "" if isinstance(error, CaseError | KnowledgeError | SettingsError) else "leakdx: "
    talk(f"{prefix}{error}")


def _unforeseen(error: Exception) -> str:
    """A sentence for what should not happen; the place helps whoever mends it."""
    where = error.__traceback__
    while where is not None and where.tb_next is not None:
        where = where.tb_next
    place = f" in {os.path.basename(where.tb_frame.f_code.co_filename)} line {where.tb_lineno}" if where else ""
    what = f"{type(error).__name__}{place}: {str(error)[:200]}".replace("\n", " ")
    return f"this should not happen ({what}); nothing that was saved is lost, and LEAKDX_DEBUG=1 shows more"


def _trace() -> None:
    if os.environ.get("LEAKDX_DEBUG") == "1":
        import traceback  # only for whoever mends leakdx

        traceback.print_exc()


def _write_what_the_terminal_can() -> None:
    """A character that the terminal does not have is replaced, never a reason to stop; so is one that it sends."""
    for stream in (sys.stdout, sys.stderr, sys.stdin):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
