"""A process that begins to write to a case and will not let go."""

import time
from multiprocessing.connection import Connection as Pipe
from pathlib import Path

from sqlalchemy import update

from leakdx.store.database.casestore import open_store
from leakdx.store.database.tables import cases


def hold(url: str, enough: Path, seconds: float, holds: Pipe) -> None:
    """Hold case KD-1 so long, or until the file ``enough`` is there."""
    with open_store(url).database.writing() as connection:
        connection.execute(update(cases).where(cases.c.id == "KD-1").values(words="held"))
        holds.send(0)
        until = time.monotonic() + seconds
        while time.monotonic() < until and not enough.exists():
            time.sleep(0.01)
