"""Every test that asks for ``url`` runs on both stores."""

from pathlib import Path

import pytest

from tests.store.database.stores import KINDS, fresh_url


@pytest.fixture(params=KINDS)
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Of a store that is not there yet."""
    return fresh_url(request.param, tmp_path)
