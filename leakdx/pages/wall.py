"""Sheets for the wall of the shop: the order of fasteners, what a bead or a leak says. They speak of no truck."""

from collections.abc import Iterator

from leakdx import __version__
from leakdx.diagrams.ring import ring_svg
from leakdx.explain.technician import DEFERS
from leakdx.explain.words import listed
from leakdx.knowledge.model import Axle, Check, Knowledge, Sign
from leakdx.measured.axle import COUNT
from leakdx.mechanics.leak import WHAT_THEN, Wetness
from leakdx.pages.document import Block, Column, Document, Heading, NewPage, Picture, Points, Say, Table
from leakdx.pages.ring import spots

ORDER = (
    "By hand until every head sits. Then each pass goes through all of them in the order of the large numbers.",
    "Dowel places first: a tapered dowel puts the carrier where it belongs only as long as it can still move.",
    "Go round at the full torque until none moves any more, then check every one again, once round.",
    "As found comes before as left: read every fastener before one is turned.",
)
"""Common practice, no source."""
_FEWEST_LINKS = 0.3
"""A cause that shows a thing more seldom than this is not worth its line on a wall."""


def wall_page(knowledge: Knowledge, axle: str | None) -> Document:
    """The sheets, a subject on each; the ring is that of one axle family, or of each that has a count."""
    families = [knowledge.axles[axle]] if axle else list(knowledge.axles.values())
    blocks: list[Block] = []
    for subject in (*_rings(families), *_looks(knowledge), *_grades(knowledge)):
        blocks += [NewPage(), *subject] if blocks else subject
    made = f"leakdx {__version__}, knowledge {knowledge.hash[:8]}."
    return Document(title="On the wall", about=(), blocks=tuple(blocks), foot=(DEFERS, made), size="wall")


def _rings(families: list[Axle]) -> Iterator[list[Block]]:
    """The order of tightening, once for each count of fasteners, with the families that have so many."""
    counts: dict[int, list[str]] = {}
    for family in families:
        known = family.values.get(COUNT.value)
        if known is not None:
            counts.setdefault(round(known.value), []).append(f"{family.name} ({known.mark})")
    for count, names in sorted(counts.items()):
        shows = f"{count} fasteners from the pinion's side: inside the number, outside the turn in which it is due"
        words = [Say(listed(names), "For"), Points(ORDER)]
        yield [
            Heading(f"The order of {count} fasteners"),
            Picture(ring_svg(spots(count), None, shows), shows, 0.8),
            *words,
        ]


def _looks(knowledge: Knowledge) -> Iterator[list[Block]]:
    """What each thing that a look shows speaks for, and what it costs to look too late."""
    for check in (check for check in knowledge.checks.values() if check.on_wall):
        columns = (Column("What is seen", 1.3), Column("It speaks for", 2.0))
        rows = tuple((knowledge.name(id), _speaks_for(knowledge, id)) for id in check.reveals if id in knowledge.signs)
        yield [
            Heading(f"How to {check.name}"),
            Say(check.question),
            Points(check.how),
            Table("What is seen, and what it speaks for, the most first", columns, rows),
            *_too_late(knowledge, check),
        ]


def _too_late(knowledge: Knowledge, check: Check) -> Iterator[Block]:
    if check.spoils:
        yield Say(f"{listed(map(knowledge.name, check.spoils))}.", "It spoils what is seen only before it")


def _speaks_for(knowledge: Knowledge, sign: str) -> str:
    """The causes that show it, with how often they do, the most first."""
    shown = [(knowledge.link(cause.shows[sign]), cause) for cause in knowledge.causes.values() if sign in cause.shows]
    told = sorted((row for row in shown if row[0] >= _FEWEST_LINKS), key=lambda row: -row[0])
    return "; ".join(f"{cause.name} ({cause.shows[sign]})" for _, cause in told) or "nothing by itself"


def _grades(knowledge: Knowledge) -> Iterator[list[Block]]:
    """How wet it is, in the words of the sign that says so, and what then."""
    for sign in knowledge.signs.values():
        if sign.worked_out is not None and sign.worked_out.by == "leak":
            columns = (Column("What comes while you watch", 1.5), Column("What then", 1.8))
            yield [
                Heading("How bad is the leak"),
                Say(sign.question or sign.name),
                Table("Grades of a leak, the least first", columns, tuple(_grade_rows(sign))),
                Say("Wipe it dry, watch for ten minutes and write down the drops: the first look is only half of it."),
            ]


def _grade_rows(sign: Sign) -> Iterator[tuple[str, str]]:
    means = sign.worked_out.means if sign.worked_out else {}
    then = {answer: WHAT_THEN[Wetness[name.upper()]] for name, answer in means.items()}
    for answer, result in sign.results.items():
        yield result.name, then.get(answer, "")
