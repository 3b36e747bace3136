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

from leakdx.clean import clean
from leakdx.commands.parser import parser
from leakdx.errors import CaseError, ExitCode, KnowledgeError, LeakdxError


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code and never raises."""
    try:
        _write_what_the_terminal_can()
        args = parser().parse_args(argv)
        code: int = import_module(f"leakdx.commands.{args.module}").run(args)
        sys.stdout.flush()
    except SystemExit as stop:  # how argparse ends after -h and --version
        return stop.code if isinstance(stop.code, int) else ExitCode.OK
    except KeyboardInterrupt:
        return ExitCode.INTERRUPTED
    except BrokenPipeError:
        return _reader_went_away()
    except LeakdxError as error:
        _trace()
        _complain(error)
        return error.exit_code
    except Exception as error:  # the last floor: whatever it is, the user gets one sentence
        _trace()
        _complain(LeakdxError(_unforeseen(error)))
        return ExitCode.INTERNAL
    return code


def _complain(error: LeakdxError) -> None:
    """One sentence on standard error; faults of files keep ``file:line:column`` first, so that editors jump to it."""
    prefix = "" if isinstance(error, CaseError | KnowledgeError) else "leakdx: "
    print(f"{prefix}{clean(str(error))}", file=sys.stderr)


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


def _reader_went_away() -> int:
    """As with ``| head``: the reader has what it wanted. Python must not try to flush once more."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return ExitCode.OK
