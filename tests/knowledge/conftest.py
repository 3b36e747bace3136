"""Tests never read or leave anything in the user's own cache."""

from collections.abc import Iterator

import pytest

from leakdx.folders import CACHE


@pytest.fixture(autouse=True, scope="session")
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(CACHE, str(tmp_path_factory.mktemp("cache")))
        yield
