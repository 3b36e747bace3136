"""``leakdx knowledge``: check what leakdx reasons with, and the schemas that editors check it by."""

from argparse import Namespace
from pathlib import Path

from leakdx.commands.inputs import knowledge_folders
from leakdx.commands.output import say, talk
from leakdx.errors import ExitCode, KnowledgeError, StorageError
from leakdx.knowledge.lint import lint
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.schema import FILE, schema_texts, write_schemas
from leakdx.store.files import reason

_COUNTED = ("causes", "signs", "history", "checks", "repairs", "rules")


def run(args: Namespace) -> int:
    """Check a knowledge, or give its schemas."""
    return _check(args.folder) if args.do == "check" else _schema(args.out)


def _check(own: str | None) -> int:
    """Faults are what this command is asked for, so they are data: standard output, and an exit code."""
    folders = knowledge_folders(own)
    try:
        knowledge = load_knowledge(folders)
        _solve(knowledge)
    except KnowledgeError as error:
        say("\n".join(error.faults))
        talk(f"{len(error.faults)} to mend")
        return ExitCode.KNOWLEDGE
    hints = lint(knowledge)
    say("\n".join([*map(str, hints), f"sound: {_counts(knowledge)}"]))
    return ExitCode.OK


def _solve(knowledge: Knowledge) -> None:
    """Find base rates that meet the shares; KnowledgeError names the cause where there are none."""
    from leakdx.reasoning.belief import compile_model

    compile_model(knowledge)


def _counts(knowledge: Knowledge) -> str:
    return ", ".join(f"{len(getattr(knowledge, kind))} {kind}" for kind in _COUNTED)


def _schema(out: str | None) -> int:
    words = load_knowledge([shipped_folder()]).words
    if out is None:
        say(schema_texts(words)[FILE])
        return ExitCode.OK
    try:
        paths = write_schemas(Path(out), words)
    except OSError as error:
        raise StorageError(f"{out}: no schema can be written there ({reason(error)}); name a folder") from error
    say("\n".join(map(str, paths)))
    return ExitCode.OK
