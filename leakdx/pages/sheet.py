"""The measuring sheet: what is read on the ring and on both faces, as found and as left, filled in by pen.

As found stands before as left, and "not looked at" has a box of its own: dry and not looked at are not the same.
Numbers of the axle stand on it where the knowledge has them; else there is a blank, never a number.
"""

from collections.abc import Sequence

from leakdx.case import Measurement
from leakdx.diagrams.ring import ring_svg
from leakdx.explain.numbers import number
from leakdx.knowledge.model import Axle, AxleValue
from leakdx.measured.axle import COUNT, LIMIT, TORQUE
from leakdx.measured.typed import numbers_in
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.places import clock
from leakdx.pages.document import Beside, Blanks, Block, Column, Heading, Picture, Say, Table
from leakdx.pages.front import axle_name, truck_name
from leakdx.pages.look import BOX
from leakdx.pages.ring import order_of, spots, wet_stretch
from leakdx.quantities import convert
from leakdx.reasoning.diagnosis import Diagnosis

_USUAL_ROWS = 20
"""Rows where it is not known how many fasteners there are; the rest is crossed out."""
_FACE_PLACES = ("12", "1:30", "3", "4:30", "6", "7:30", "9", "10:30")
_MAP = 0.34
_TOOLS = (
    "Torque wrench no.", "calibrated until", "Measured by",
    "Straight edge no.", "Feeler or dial no.", "calibrated until",
)  # fmt: skip


def measuring_sheet(diagnosis: Diagnosis) -> list[Block]:
    """One sheet of paper for the ring and the faces."""
    axle = diagnosis.knowledge.axles.get(diagnosis.case.axle or "")
    values = axle.values if axle else {}
    known = values.get(COUNT.value)
    count = round(known.value) if known else 0
    shows = f"{count} fasteners from the pinion's side; outside: the turn in which each is due" if count else (
        "From the pinion's side; draw in the fasteners, 1 at 12 o'clock"
    )  # fmt: skip
    picture = Picture(ring_svg(spots(count), wet_stretch(diagnosis), shows), shows, _MAP)
    return [
        Heading(f"Measuring sheet: {truck_name(diagnosis)} - as found before as left"),
        Blanks(_TOOLS, 3),
        _ring(diagnosis, count, values.get(TORQUE.value)),
        Beside(
            (_faces(values.get(LIMIT.value)), Say(_order_words(diagnosis, known=bool(count))), *_whose(axle)), picture
        ),
    ]


def _whose(axle: Axle | None) -> list[Say]:
    """Whose numbers stand on the sheet, and what they are worth."""
    return [Say(axle_name(axle), "Numbers of")] if axle and axle.values else []


def _ring(diagnosis: Diagnosis, count: int, torque: AxleValue | None) -> Table:
    """A row for each fastener, in clockwise order; the order of tightening stands in a column."""
    turns = {number: turn for turn, number in enumerate(order_of(count), 1)}
    found = _as_found(diagnosis, count, torque)
    rows = [
        (
            str(each),
            clock(spot.turn) if (spot := next((s for s in spots(count) if s.name == str(each)), None)) else "",
            found[each - 1] if found else "",
            "",
            BOX,
            str(turns.get(each, "")),
            *[""] * (len(_shares(diagnosis)) + 2),
        )
        for each in range(1, (count or _USUAL_ROWS) + 1)
    ]
    heads = ("No.", "At", "As found", "Head, washer, thread", "Not looked at", "Turn")
    wide = (0.6, 0.9, 1.0, 2.1, 0.9, 0.7)
    columns = [Column(head, share, head != heads[3]) for head, share in zip(heads, wide, strict=True)]
    columns += [Column(head, 0.95) for head in (*_passes(diagnosis, torque), "Once round", "Recheck")]
    unit = f" in {_written(torque.unit)}" if torque else ", unit ______"
    return Table(f"Torque of each fastener{unit}, numbered clockwise from the pinion's side", tuple(columns),
                 tuple(rows), pen=True)  # fmt: skip


def _shares(diagnosis: Diagnosis) -> Sequence[float]:
    trade = diagnosis.knowledge.trade
    return trade.passes.shares if trade else ()


def _passes(diagnosis: Diagnosis, torque: AxleValue | None) -> list[str]:
    """The heads of the passes: with the torque of each where that of the axle is known."""
    shares = _shares(diagnosis)
    if torque is None:
        return [f"Pass {place}: {share:.0%}" for place, share in enumerate(shares, 1)]
    return [f"Pass {place}: {number(torque.value * share, '.0f')}" for place, share in enumerate(shares, 1)]


def _as_found(diagnosis: Diagnosis, count: int, torque: AxleValue | None) -> list[str]:
    """The first movements that the case holds already, in the unit of the sheet; none where they do not fit it."""
    typed = [
        e.readings["audit"] for e in diagnosis.case.standing if isinstance(e, Measurement) and "audit" in e.readings
    ]
    if not typed or torque is None:
        return []
    try:
        read = numbers_in(typed[-1].split(), "N*m", "audit", "225 220 0 lb-ft")
    except MeasureError:
        return []
    shown = [number(convert(repr(each), "N*m", torque.unit), ".0f") for each in read]
    return shown if len(shown) == count else []


def _faces(limit: AxleValue | None) -> Table:
    """A row for each place of both faces."""
    at_most = f"{limit.value:g} {limit.unit} ({_millimetres(limit)} mm)" if limit else "______ by the manual"
    heads = ("At", "Housing, as found", "Carrier, as found", "Not looked at", "Housing, as left", "Carrier, as left")
    columns = tuple(Column(head, 0.7 if head == "At" else 1.0, head in ("At", "Not looked at")) for head in heads)
    rows = tuple((place, "", "", BOX, "", "") for place in _FACE_PLACES)
    return Table(f"Gap under the straight edge, at most {at_most}", columns, rows, pen=True)


def _millimetres(limit: AxleValue) -> str:
    return number(convert(repr(limit.value), limit.unit, "mm"), ".2f")


def _order_words(diagnosis: Diagnosis, *, known: bool) -> str:
    order = "in the order of the column Turn" if known else "crosswise, and write the order down"
    return (
        f"Dowel places first: ring them on the map. Each pass goes through all of them {order}. "
        "The axle maker's torque and order rule where they differ."
    )


def _written(unit: str) -> str:
    return unit.replace("lbf*ft", "lb-ft").replace("*", "·")
