"""``leakdx knowledge schema``: the schemas that editors check a knowledge by."""

from argparse import Namespace
from pathlib import Path

from leakdx.commands.output import say
from leakdx.errors import ExitCode, StorageError
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.schema import FILE, schema_texts, write_schemas
from leakdx.store.files import reason


def run(args: Namespace) -> int:
    """Print the schema of a file, or write that of every kind."""
    words = load_knowledge([shipped_folder()]).words
    if args.out is None:
        say(schema_texts(words)[FILE])
        return ExitCode.OK
    try:
        paths = write_schemas(Path(args.out), words)
    except OSError as error:
        raise StorageError(f"{args.out}: no schema can be written there ({reason(error)}); name a folder") from error
    say("\n".join(map(str, paths)))
    return ExitCode.OK
