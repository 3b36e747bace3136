"""Whether the wet place stands with slack fasteners or with a weld."""

from collections.abc import Iterator

from leakdx.diagrams.flangemap import LOW, READ, WEAK, Stretch
from leakdx.diagrams.flangemap import WELD as WELD_MARK
from leakdx.diagrams.flangemap import WET as WET_MARK
from leakdx.interview.measuring.form import SoFar
from leakdx.interview.measuring.line import Line, Typed
from leakdx.interview.measuring.worked_form import WorkedForm
from leakdx.interview.question import ReplyError
from leakdx.measured.together import numbers
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.places import index, read_arc

WET, WEAK_ONES, WELD = "wet", "weak", "weld"


class WetPlaceForm(WorkedForm):
    """The wet arc, the numbers of the slack fasteners, the place of the weld; what the case knows stands there."""

    by = "place"

    def begun(self) -> dict[str, str]:
        """As far as it was seen and measured."""
        weak = " ".join(map(str, self.known.weak))
        known = {WET: self.known.wet, WEAK_ONES: weak, WELD: self.known.weld}
        return super().begun() | {name: text for name, text in known.items() if text}

    def settings(self, typed: Typed) -> Iterator[Line]:
        """All that is asked."""
        ring = self.turns(typed)

        def place(text: str) -> object:
            return read_arc(text, ring)

        def weak(text: str) -> object:
            chosen = numbers(text)
            if not ring:
                raise MeasureError("it is not known how many fasteners there are; type their number first")
            return [index(number, ring) for number in chosen]

        asked = "Where does oil come out? By the clock: 4:30, or clockwise 3:30..5"
        yield Line(name=WET, label="wet", asked=asked, read=place, needed=True)
        if ring:
            asked = "Which fasteners are slack? Their numbers, as 5 6 7; may be left out"
            yield Line(name=WEAK_ONES, label="slack", asked=asked, read=weak)
        asked = "Where was it welded? By the clock: 4, or 3:30..5; may be left out"
        yield Line(name=WELD, label="weld", asked=asked, read=place)

    def joint_lines(self, typed: Typed) -> Iterator[Line]:
        """The count decides which numbers there are, so it comes first."""
        return iter(())

    def lines(self, typed: Typed) -> tuple[Line, ...]:
        """The joint, then the places on it; no tool is needed."""
        return (*super().joint_lines(typed), *self.settings(typed))

    def marks(self, typed: Typed, found: SoFar) -> dict[str, str]:
        """Which fasteners are slack."""
        weak = set(typed.get(WEAK_ONES, "").split())
        return {f"n{n}": WEAK if str(n) in weak else READ for n in range(1, len(self.turns(typed)) + 1)}

    def stretches(self, typed: Typed, found: SoFar) -> Iterator[Stretch]:
        """As they are typed."""
        yield from (Stretch(LOW, arc) for arc in self.known.low)
        for name, mark in ((WET, WET_MARK), (WELD, WELD_MARK)):
            if name in typed:
                yield Stretch(mark, read_arc(typed[name], self.turns(typed)))

    def readings(self, typed: Typed) -> dict[str, str]:
        """The fields of ``leakdx calc place``."""
        against = [name for name in (WEAK_ONES, WELD) if name in typed]
        if WET not in typed or not against:
            raise ReplyError("type where it is wet, and what that is held against: slack fasteners or a weld")
        return {**self.with_joint(typed), **{name: typed[name] for name in (WET, *against)}}
