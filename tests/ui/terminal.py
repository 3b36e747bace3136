"""The screen in a real terminal, by tmux: what is typed goes in as keys, what stands there is read as text."""

import os
import signal
import subprocess
import sys
import time
import uuid
from pathlib import Path
from shutil import which

HAS_TMUX = which("tmux") is not None
LATEST = 30.0


class Terminal:
    """One terminal that runs the screen on a store. Close it when done."""

    def __init__(self, folder: Path, *words: str, size: tuple[int, int] = (80, 24), **variables: str) -> None:
        self.socket = f"leakdx-{uuid.uuid4().hex[:8]}"
        known = {name: os.environ[name] for name in ("LEAKDX_CACHE",) if name in os.environ}
        store = {"LEAKDX_STORE": f"sqlite:///{folder / 'cases.db'}", "LEAKDX_CONFIG": ""}
        given = [f"{name}={value}" for name, value in {**known, **store, **variables}.items()]
        command = ["env", *given, sys.executable, "-m", "leakdx", *words]
        width, height = map(str, size)
        self._tmux("-f", "/dev/null", "new-session", "-d", "-x", width, "-y", height, *command)

    def _tmux(self, *words: str) -> str:
        made = subprocess.run(["tmux", "-L", self.socket, *words], capture_output=True, text=True, timeout=30)
        return made.stdout

    def press(self, *keys: str) -> None:
        """Press keys, by tmux's names."""
        self._tmux("send-keys", *keys)

    def type(self, text: str) -> None:
        """Type a text."""
        self._tmux("send-keys", "-l", text)

    def click(self, words: str) -> None:
        """Press and let go the left button on the first letter of words that stand there, as a terminal reports it."""
        rows = self.until(words).splitlines()
        row, text = next((row, text) for row, text in enumerate(rows, start=1) if words in text)
        at = f"\x1b[<0;{text.index(words) + 1};{row}"
        self.type(f"{at}M{at}m")

    def text(self) -> str:
        """What stands there."""
        return self._tmux("capture-pane", "-p")

    def until(self, *words: str) -> str:
        """Wait until all of these stand there; what stands there then."""
        latest = time.monotonic() + LATEST
        while True:
            text = self.text()
            if all(word in text for word in words):
                return text
            assert time.monotonic() < latest, f"{words} did not come:\n{text}"
            time.sleep(0.05)

    def kill(self) -> None:
        """Kill -9, as a flat battery would."""
        process = self._tmux("display-message", "-p", "#{pane_pid}").strip()
        os.kill(int(process), signal.SIGKILL)
        self.close()

    def is_running(self) -> bool:
        """Whether the session is there."""
        return bool(self._tmux("list-sessions"))

    def close(self) -> None:
        """End it."""
        self._tmux("kill-server")
