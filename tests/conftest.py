"""How the project's own tests run.

Time is measured in benchmarks, so no example of a property test has a deadline; the examples are the same in every run,
so that a run fails by what was changed (others are drawn with ``--hypothesis-profile=new_examples``); nobody's own shop
settings count, and no test comes near the case store of whoever runs them. Workers keep to neighbouring tests, so that
what a module makes once for its tests is made by one of them.
"""

import os
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from xdist.scheduler import WorkStealingScheduling

os.environ["LEAKDX_CONFIG"] = ""
settings.register_profile("new_examples", deadline=None)
settings.register_profile("same_examples", deadline=None, derandomize=True)
settings.load_profile("same_examples")

_SCREEN = Path(__file__).parent / "ui"
_FOLDER = tempfile.TemporaryDirectory(prefix="leakdx-tests-")
os.environ["LEAKDX_STORE"] = f"sqlite:///{Path(_FOLDER.name) / 'cases.db'}"
os.environ["LEAKDX_DATA"] = _FOLDER.name


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> WorkStealingScheduling | None:
    """Half of the tests to each worker in one piece, and half of what another has left to the one that is done."""
    return WorkStealingScheduling(config, log) if config.getoption("dist") == "load" else None


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The screen's tests first, everything else in its order."""
    items.sort(key=lambda item: _SCREEN not in item.path.parents)
