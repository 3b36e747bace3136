"""Writes the table of all checks."""

from pathlib import Path

from tests.published.mechanics_checks import CHECKS
from tests.published.mechanics_checks.check import table

DOCUMENT = Path(__file__).parents[3] / "docs" / "mechanics_checks.md"
HEAD = """\
# The mechanics beside published values

Each line is a value from outside, ours beside it, and the difference. In brackets: how far the source was seen.
`as reproduced in a public page`: the value stood in a page open to all, not in the paid standard itself; `from memory`:
not seen again; `own derivation`: worked out by hand from the law that is named. Written by
`python -m tests.published.mechanics_checks`; a test fails where a difference is more than its tolerance.

Not in the table, since nothing here uses it: how closely a preload is met by turning the nut (15 in 100) or by the
fastener's elongation (1 to 5 in 100; both NASA RP-1228, from memory). A shop tightens by torque.
"""

if __name__ == "__main__":
    DOCUMENT.write_text(HEAD + table(CHECKS), encoding="utf-8")
