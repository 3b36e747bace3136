"""Where a typed CASE lives: a file that is there, or else a case of the store. Imported before any database is."""

import os
from argparse import Namespace
from typing import TYPE_CHECKING

from leakdx.commands.output import talk
from leakdx.errors import StorageError
from leakdx.store.source import KnowledgeSource

if TYPE_CHECKING:
    from leakdx.reasoning.diagnosis import Diagnosis
    from leakdx.store.database.casestore import CaseStore
    from leakdx.store.database.kept import Kept

_FILES = (".yaml", ".yml")


def is_file_name(word: str) -> bool:
    """Whether a typed CASE means a file: one that stands there, or what is written as files are."""
    # Path.exists raises where a name is too long
    return os.path.exists(word) or word.endswith(_FILES) or "/" in word or os.sep in word


def store_of(args: Namespace, *, make: bool = False) -> "CaseStore":
    """The store that a command was given; only what begins a case makes one. Raises UsageError, StorageError."""
    from leakdx.store.database.casestore import open_store

    return open_store(args.store, make=make)


def keep_shown(
    store: "CaseStore", kept: "Kept", diagnosis: "Diagnosis", source: KnowledgeSource, shop: str | None
) -> None:
    """Keep what is about to be shown; where that cannot be, say so: showing it is worth more."""
    from leakdx.store.database.shown import keep_shown

    try:
        keep_shown(store.database, kept, diagnosis, source, shop)
    except StorageError as error:
        talk(f"This diagnosis is not kept in the store: {error}")
