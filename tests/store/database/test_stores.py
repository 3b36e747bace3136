"""What the tests start ends with them."""

import subprocess
import sys
from pathlib import Path

from tests.store.database.stores import DATA, ends_with_this_process


def test_a_server_ends_with_the_process_that_started_it_even_where_that_is_killed(tmp_path: Path) -> None:
    folder = tmp_path / "server"
    (folder / DATA).mkdir(parents=True)
    # Whoever began the tests may ignore the signal, which a server does not.
    waits = "import signal, time; signal.signal(signal.SIGQUIT, signal.SIG_DFL); print(flush=True); time.sleep(600)"
    server = subprocess.Popen([sys.executable, "-c", waits], stdout=subprocess.PIPE)
    assert server.stdout is not None
    server.stdout.readline()
    (folder / DATA / "postmaster.pid").write_text(f"{server.pid}\n/somewhere\n")
    watch = ends_with_this_process(folder)
    assert server.poll() is None
    assert watch.stdin is not None
    watch.stdin.close()  # as the system does it for a process that is killed
    server.wait(30)
    watch.wait(30)
    assert not folder.exists()
