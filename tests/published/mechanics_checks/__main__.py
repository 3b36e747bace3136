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

## Published, and not in the tables, since nothing here uses it

- How closely a preload is met by turning the nut (15 in 100) or by the fastener's elongation (1 to 5 in 100; NASA
  RP-1228, from memory): a shop tightens by torque.
- The nut factor of cadmium plating, 0.16 (Shigley, 9th ed., table 8-15, as reproduced in a public page): no state of
  thread here is cadmium-plated. `leakdx calc fasteners --nut-factor 0.16` takes it; its preload is in the table.
- Tensions and classes of faces of AISC 360 and RCSC as numbers to fall back on: rows show that our
  friction law is theirs. What lies between the faces of this joint has bands of its own, from memory; none of
  those classes is a gasket or oil.
- Lead angle (1.6064 degrees) and root diameter (0.66881 in) of the book's 3/4-16: the long form takes the lead as
  small, which costs a quarter of one in 100 of the torque.
- 10, 40 and 50 in 100 of the torque for pitch, thread and head, a rule of thumb in public pages: the three shares are
  worked out for each fastener, and are in the table.
- Drops of 0.025 to 0.07 mL and of 45 to 55 mg (eye droppers, USP; as reproduced in public pages): watery liquids. By
  Tate's law 42.8 drops of oil make what 20 of water do (own derivation); our band goes from 20 to 45 to the millilitre.
- Efficiency of a plasma arc, 0.47, and the least and greatest of the literature for tungsten, 0.36 and 0.90: no one
  welds a housing by plasma, and a band holds nine in ten, not all.
- Grades of SAE J306 as they were in 2005, and 150 000 cP as what "flows" means: grades here are those of 2019, and a
  W grade counts by its temperature.
- Classes I to III of leaks in army manuals: they have no figures, and wetness has words of its own here
  (`leakdx calc leak --seen`).
"""

if __name__ == "__main__":
    DOCUMENT.write_text(HEAD + table(CHECKS), encoding="utf-8")
