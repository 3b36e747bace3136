"""Every help text, for the test that compares it with docs/commands.md.

``python -m tests.help_texts`` writes the document's help texts anew.
"""

import contextlib
import io
import re
from functools import cache
from pathlib import Path

from leakdx.cli import main

DOCUMENT = Path(__file__).parent.parent / "docs" / "commands.md"

COMMANDS = (
    (),
    ("diagnose",),
    ("ask",),
    ("screen",),
    ("why",),
    ("draw",),
    ("tree",),
    ("report",),
    ("calc",),
    ("calc", "flatness"),
    ("calc", "fasteners"),
    ("calc", "clamp"),
    ("calc", "slip"),
    ("calc", "weld"),
    ("calc", "leak"),
    ("calc", "breather"),
    ("calc", "cure"),
    ("calc", "order"),
    ("calc", "place"),
    ("calc", "level"),
    ("cases",),
    ("cases", "list"),
    ("cases", "find"),
    ("cases", "show"),
    ("cases", "close"),
    ("cases", "reopen"),
    ("cases", "photo"),
    ("cases", "photos"),
    ("cases", "merge"),
    ("cases", "import"),
    ("cases", "export"),
    ("cases", "tool"),
    ("cases", "forget"),
    ("cases", "replay"),
    ("store",),
    ("store", "check"),
    ("store", "backup"),
    ("store", "restore"),
    ("store", "salvage"),
    ("knowledge",),
    ("knowledge", "check"),
    ("knowledge", "schema"),
    ("knowledge", "map"),
    ("knowledge", "cases"),
    ("knowledge", "idle"),
    ("settings",),
    ("paths",),
)


@cache
def help_of(*words: str) -> str:
    """The help text of one command, as it is printed."""
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        assert main([*words, "-h"]) == 0
    return printed.getvalue()


def block_of(words: tuple[str, ...]) -> tuple[str, str]:
    """(heading of the document, its block)."""
    return f"## {' '.join(('leakdx', *words))}\n", f"```text\n{help_of(*words).rstrip()}\n```\n"


def rewritten(document: str) -> str:
    """The document with every help text as it is now."""
    for words in COMMANDS:
        heading, block = block_of(words)
        shown = re.compile(rf"(?m)^{re.escape(heading)}\n```text\n(?:.*\n)*?```\n")
        document = shown.sub(f"{heading}\n{block}".replace("\\", r"\\"), document)
    return document


if __name__ == "__main__":
    DOCUMENT.write_text(rewritten(DOCUMENT.read_text(encoding="utf-8")), encoding="utf-8")
