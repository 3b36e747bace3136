"""``leakdx settings``: what this shop charges and pays, and where each value comes from."""

import json
from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path

import msgspec

from leakdx.commands.inputs import knowledge_for
from leakdx.commands.output import say, talk
from leakdx.errors import ExitCode, UsageError
from leakdx.store.settings import Effective, effective, read_settings, settings_path, write_template


def run(args: Namespace) -> int:
    """Print the settings, or the name of their file; the file is made where there is none."""
    path, knowledge = settings_path(), knowledge_for(args.knowledge)
    if path is not None and args.knowledge is None and write_template(path, knowledge):
        talk(f"{path} is made; all in it is commented out, so that nothing changes until you edit it")
    if args.path:
        if path is None:
            raise UsageError("LEAKDX_CONFIG is empty, so no settings are read; name a folder in it, or unset it")
        say(str(path))
        return ExitCode.OK
    rows = tuple(effective(knowledge, read_settings(path)))
    say(_as_json(path, rows) if args.json else _as_text(path, rows))
    return ExitCode.OK


def _as_json(path: Path | None, rows: Sequence[Effective]) -> str:
    said = {"file": None if path is None else str(path), "settings": msgspec.to_builtins(rows)}
    return json.dumps(said, indent=2, ensure_ascii=False)


def _as_text(path: Path | None, rows: Sequence[Effective]) -> str:
    """A line for each value, in columns."""
    values = [f"{row.value:g}" if isinstance(row.value, float) else str(row.value) for row in rows]
    said = [f"{value} {row.unit}".rstrip() for value, row in zip(values, rows, strict=True)]
    first, second = max(len(row.name) for row in rows), max(map(len, said))
    lines = (f"{row.name:<{first}}  {one:<{second}}  {row.source}" for row, one in zip(rows, said, strict=True))
    return "\n".join((f"file: {path or 'none is read'}", *lines))
