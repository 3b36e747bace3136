"""A weld near the joint, as its welder tells it."""

from collections.abc import Iterator

from leakdx.interview.measuring.line import LENGTH, TEMPERATURE, Choice, Line, Typed
from leakdx.interview.measuring.worked_form import WorkedForm
from leakdx.interview.question import ReplyError
from leakdx.measured.bead import BeadRead
from leakdx.measured.fields import reader

_SPEED = ("in/min", "mm/s")
PROCESS, SEAL = "process", "seal"


class BeadForm(WorkedForm):
    """Process, volts, amperes, speed, wall and distance."""

    by = "weld"

    def settings(self, typed: Typed) -> Iterator[Line]:
        """All that is asked."""
        numbers = self.knowledge.trade_numbers
        processes = tuple(Choice(name, each.words) for name, each in numbers.welding.processes.items())
        yield Line(name=PROCESS, label=PROCESS, asked="How was it welded?", choices=processes, needed=True)
        for name, asked, units in (
            ("volts", "At how many volts?", None),
            ("amperes", "At how many amperes?", None),
            ("speed", "How fast did the bead go? One number, or from..to", _SPEED),
            ("wall", "How thick is the wall that was welded?", LENGTH),
            ("distance", "From the bead's edge to the joint? One number, or from..to", LENGTH),
        ):
            yield Line(name=name, label=name, asked=asked, read=reader(BeadRead, name), units=units, needed=True)
        seals = tuple(Choice(name, each.words) for name, each in numbers.seals.items())
        yield Line(name=SEAL, label="sealed by", asked="What seals the joint?", choices=seals, usual=_usual(SEAL))
        asked = "How warm was the work before? Left out: 20 degC or 68 degF"
        yield Line(name="start", label="before", asked=asked, read=reader(BeadRead, "start"), units=TEMPERATURE)

    def needs_count(self, typed: Typed) -> bool:
        """The joint is only looked at."""
        return False

    def joint_lines(self, typed: Typed) -> Iterator[Line]:
        """Nothing of it is asked."""
        return iter(())

    def readings(self, typed: Typed) -> dict[str, str]:
        """The fields of ``leakdx calc weld``."""
        left = [line.label for line in self.settings(typed) if line.needed and line.name not in typed]
        if left:
            raise ReplyError(f"not typed yet: {', '.join(left)}")
        return {line.name: typed[line.name] for line in self.settings(typed) if line.name in typed}


def _usual(field: str) -> str:
    return str(BeadRead.__dataclass_fields__[field].default)
