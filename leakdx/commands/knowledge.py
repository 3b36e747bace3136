"""``leakdx knowledge``: check what leakdx reasons with, and the schemas that editors check it by."""

from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from leakdx.commands.inputs import knowledge_folders
from leakdx.commands.output import say, talk
from leakdx.errors import ExitCode, KnowledgeError, StorageError
from leakdx.knowledge.lint import lint
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.schema import FILE, schema_texts, write_schemas
from leakdx.store.files import reason

if TYPE_CHECKING:
    from leakdx.reasoning.lint_counts import Told

_PAIRS_SHOWN = 3
_COUNTED = ("causes", "signs", "history", "checks", "repairs", "rules")


def run(args: Namespace) -> int:
    """Check a knowledge, or give its schemas."""
    return _check(args.folder) if args.do == "check" else _schema(args.out)


def _check(own: str | None) -> int:
    """Faults are what this command is asked for, so they are data: standard output, and an exit code."""
    folders = knowledge_folders(own)
    try:
        knowledge = load_knowledge(folders)
        counts = _counts_once_told(knowledge)
    except KnowledgeError as error:
        say("\n".join(error.faults))
        talk(f"{len(error.faults)} to mend")
        return ExitCode.KNOWLEDGE
    hints = lint(knowledge)
    say("\n".join([*map(str, hints), *counts, f"sound: {_counts(knowledge)}"]))
    return ExitCode.OK


def _counts_once_told(knowledge: Knowledge) -> list[str]:
    """How many causes are expected to leak once an answer is told: every answer, and the extreme pairs.

    KnowledgeError names the cause where no base rates meet the shares.
    """
    from leakdx.reasoning.belief import compile_model
    from leakdx.reasoning.lint_counts import mean_counts

    counts = mean_counts(knowledge, compile_model(knowledge))
    alone = [c for c in counts if len(c.told) == 1]
    pairs = sorted((c for c in counts if len(c.told) == 2), key=lambda c: c.mean)
    if not alone:
        return []
    extreme = pairs if len(pairs) <= 2 * _PAIRS_SHOWN else [*pairs[:_PAIRS_SHOWN], *pairs[-_PAIRS_SHOWN:]]
    lines = [f"causes expected to leak per wet axle: {counts[0].mean:.3f}; once this is told:"]
    lines += [f"  {c.mean:.3f}  {_said(c.told)}" for c in alone]
    lines += ["and of all pairs the lowest and the highest:"]
    return [*lines, *(f"  {c.mean:.3f}  {_said(c.told)}" for c in extreme)]


def _said(told: "Told") -> str:
    return " and ".join(f"{group}: {answer}" for group, answer in told)


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
