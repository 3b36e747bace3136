"""Who keeps a SQLite store from being written to, as far as the system tells."""

import os
import subprocess
import sys
from pathlib import Path

_ASK = """
import fcntl, os, struct, sys
wanted = struct.pack("hhqqi4x", fcntl.F_WRLCK, os.SEEK_SET, 120, 1, 0)
with open(sys.argv[1], "rb+") as file:
    kind, _, _, _, process = struct.unpack("hhqqi4x", fcntl.fcntl(file, fcntl.F_GETLK, wanted))
print(process if kind != fcntl.F_UNLCK else 0)
"""
"""Byte 120 of the shared-memory file is SQLite's lock of the one writer (its file format, "WAL-index locks").

Asked in another process, since closing the file in this one would give up SQLite's own locks on it.
"""


def holder_of(path: Path) -> str | None:
    """The process that writes, in words; None where the system does not tell."""
    try:
        asked = subprocess.run(
            [sys.executable, "-c", _ASK, f"{path}-shm"], capture_output=True, text=True, timeout=5, check=True
        )
        process = int(asked.stdout)
    except (OSError, ValueError, subprocess.SubprocessError):
        return None
    if process <= 0 or process == os.getpid():
        return None
    return f"process {process}{_command(process)}"


def _command(process: int) -> str:
    try:
        words = Path(f"/proc/{process}/cmdline").read_bytes().split(b"\0")
    except OSError:
        return ""
    said = " ".join(word.decode(errors="replace") for word in words[-4:] if word)
    return f" ({said[-60:]})" if said else ""
