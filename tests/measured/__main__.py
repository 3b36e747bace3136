"""Writes the six cases as a document."""

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from tests.measured import FILE, HOW, Measured, all_worked

DOCUMENT = FILE.parents[2] / "docs" / "measured_cases.md"
HEAD = """\
# Where a measurement decides

Six trucks, each worked three ways: before the measurement, with it, and with the same measurement made vague (by a
worn dial, one blade in place of a set, a doubted wrench, a distance that nobody knows). The raw readings stand in the
case, so that what is worked out is what is believed. The chance is that
of the cause that the measurement speaks of; behind it stands who leads. Written by `python -m tests.measured` from
`tests/measured/cases.yaml`, by the knowledge as it was then; a test holds that the clear measurement decides and the
vague one moves less.

| truck | measured | before | clear | vague |
|---|---|---|---|---|
"""


def row(measured: Measured, names: dict[str, str]) -> str:
    """One truck of the table."""
    cells = []
    for how in HOW:
        told = measured.told[how]
        leads = "" if told.leader == measured.case["of"] else f"; {names[told.leader]} {told.leading:.2f}"
        cells.append(f"{told.chance:.2f}{leads or ', leads'}")
    return f"| {measured.name} | {measured.case['measured']} | {' | '.join(cells)} |"


def document() -> str:
    """The whole text, with the calls that the measurements are worked out by."""
    causes = load_knowledge([shipped_folder()]).causes
    names = {id: cause.name for id, cause in causes.items()}
    worked = all_worked()
    calls = "\n".join(f"leakdx calc {' '.join(each.case['calc'].split())}" for each in worked)
    return f"{HEAD}{chr(10).join(row(each, names) for each in worked)}\n\nThe measurements:\n\n```text\n{calls}\n```\n"


if __name__ == "__main__":
    DOCUMENT.write_text(document(), encoding="utf-8")
