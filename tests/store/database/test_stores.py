"""What the tests start ends with them."""

import subprocess
from pathlib import Path

from tests.store.database.stores import DATA, ends_with_this_process


def test_a_server_ends_with_the_process_that_started_it_even_where_that_is_killed(tmp_path: Path) -> None:
    folder = tmp_path / "server"
    (folder / DATA).mkdir(parents=True)
    server = subprocess.Popen(["sleep", "600"])
    (folder / DATA / "postmaster.pid").write_text(f"{server.pid}\n/somewhere\n")
    watch = ends_with_this_process(folder)
    assert server.poll() is None
    assert watch.stdin is not None
    watch.stdin.close()  # as the system does it for a process that is killed
    server.wait(30)
    watch.wait(30)
    assert not folder.exists()
