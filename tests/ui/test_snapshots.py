"""Every screen shows what it showed when it was last looked at."""

import pytest

from tests.ui.snapshots import FOLDER, SIZES, taken


@pytest.mark.asyncio
@pytest.mark.parametrize("size", SIZES)
async def test_the_screens_are_as_they_were_last_looked_at(size: str) -> None:
    different = []
    async for name, text in taken(size):
        kept = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
        if kept != text:
            different.append(f"{name}:\n{text}")
    assert not different, "look at them, then: python -m tests.ui.snapshots\n" + "\n".join(different)
