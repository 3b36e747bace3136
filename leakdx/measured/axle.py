"""What an axle family of the knowledge gives a measurement, so that it need not be typed."""

from collections.abc import Mapping
from typing import NamedTuple, Protocol

from leakdx.measured.fields import FieldError
from leakdx.measured.kinds import Calculation


class Given(NamedTuple):
    """An axle's value for a field: its name, the unit that the field is in, and fields that stand instead of it."""

    value: str
    unit: str
    instead: tuple[str, ...] = ()


class Known(Protocol):
    """A value of an axle family."""

    @property
    def value(self) -> float:
        """In ``unit``."""

    @property
    def unit(self) -> str:
        """ "" for a count."""


COUNT = Given("fastener_count", "", ("clock",))
RADIUS = Given("bolt_circle_radius", "m", ("high", "wide"))
CARRIER = Given("flange_wall", "m")
DIAMETER = Given("fastener_diameter", "m", ("thread",))
PER_INCH = Given("threads_per_inch", "", ("thread",))
TORQUE = Given("fastener_torque", "N*m")
LIMIT = Given("flatness_limit", "m")

FROM_AXLE: Mapping[Calculation, Mapping[str, Given]] = {
    "flatness": {"count": COUNT, "radius": RADIUS},
    "fasteners": {"count": COUNT, "torque": TORQUE, "diameter": DIAMETER, "per_inch": PER_INCH},
    "leak": {},
    "weld": {},
    "place": {"count": COUNT},
}
"""Fields that are filled where a case names the family. The limit of a face stands with its sign."""


def filled(by: Calculation, texts: Mapping[str, str], values: Mapping[str, Known], name: str) -> dict[str, str]:
    """The texts of a measurement with the values of the axle family ``name`` where none are given.

    FieldError where a count is not the family's.
    """
    whole = dict(texts)
    for field, given in FROM_AXLE[by].items():
        own = values.get(given.value)
        if own is None or any(each in texts for each in given.instead):
            continue
        if field not in texts:
            whole[field] = f"{own.value:g} {own.unit}".strip()
        elif given is COUNT and texts[field].strip() != f"{own.value:g}":
            wrong = f"{texts[field][:20]} fasteners do not fit {name}, which has {own.value:g}"
            raise FieldError(field, f"{wrong}; count them again")
    return whole
