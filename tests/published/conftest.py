"""Tests never read or leave anything in the user's own cache."""

import os
from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True, scope="session")
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    before = os.environ.get("LEAKDX_CACHE")
    os.environ["LEAKDX_CACHE"] = str(tmp_path_factory.mktemp("cache"))
    yield
    if before is None:
        del os.environ["LEAKDX_CACHE"]
    else:
        os.environ["LEAKDX_CACHE"] = before
