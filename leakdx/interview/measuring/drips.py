"""What is lost while somebody watches: drops that fall, or a stain that grows."""

from collections.abc import Iterator

from leakdx.interview.measuring.line import Choice, Line, Typed
from leakdx.interview.measuring.worked_form import WorkedForm
from leakdx.interview.question import ReplyError
from leakdx.measured.drips import DripsRead
from leakdx.measured.typed import count, number_in

WHAT, DROPS, STAIN, ON, TIME = "what", "drops", "stain", "on", "time"
_WHAT = (Choice(DROPS, "drops are counted"), Choice(STAIN, "a stain grows"))
_AREA, _TIME = ("in^2", "cm^2"), ("min", "min")


class DripsForm(WorkedForm):
    """Drops or a stain, and how long it took, the truck standing."""

    by = "leak"

    def settings(self, typed: Typed) -> Iterator[Line]:
        """All that is asked."""
        yield Line(name=WHAT, label="what", asked="What is watched?", choices=_WHAT, usual=DROPS)
        if self._what(typed) == DROPS:
            asked = "How many drops fell? 0: one hangs, or none forms"
            yield Line(name=DROPS, label="drops", asked=asked, read=count, needed=True)
        else:
            asked = "By how much did the stain grow? Its area"
            area = number_in("m^2", "200 cm^2")
            yield Line(name=STAIN, label="stain", asked=asked, read=area, units=_AREA, needed=True)
            on = tuple(Choice(name, name) for name in self.knowledge.trade_numbers.leak.surfaces)
            yield Line(name=ON, label="on", asked="On what?", choices=on, usual=DripsRead().on)
        asked = "In which time?"
        yield Line(name=TIME, label="time", asked=asked, read=number_in("s", "10 min"), units=_TIME, needed=True)

    def _what(self, typed: Typed) -> str:
        return typed.get(WHAT, DROPS)

    def needs_count(self, typed: Typed) -> bool:
        """The joint is only looked at."""
        return False

    def joint_lines(self, typed: Typed) -> Iterator[Line]:
        """Nothing of it is asked."""
        return iter(())

    def readings(self, typed: Typed) -> dict[str, str]:
        """The fields of ``leakdx calc leak``."""
        names = (DROPS, TIME) if self._what(typed) == DROPS else (STAIN, ON, TIME)
        if names[0] not in typed or TIME not in typed:
            raise ReplyError("a rate needs how much it was and how long that took; type both")
        return {name: typed[name] for name in names if name in typed}
