"""Random keys and clicks end nothing and lose nothing. Twenty thousand: ``python -m tests.ui.monkey``."""

from pathlib import Path

import pytest

from tests.ui import monkey


@pytest.mark.asyncio
async def test_a_monkey_neither_ends_it_nor_loses_an_answer(tmp_path: Path) -> None:
    assert await monkey.run(1, 1000, tmp_path) > 0
