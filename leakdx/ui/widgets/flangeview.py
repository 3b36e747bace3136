"""The map of the flange on the screen, as large as there is room; a place on it can be clicked."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.events import Click
from textual.message import Message

from leakdx.ui.widgets.plain import Plain, plain

if TYPE_CHECKING:
    from leakdx.diagrams.flangemap import FlangeMap
    from leakdx.interview.measuring.form import Drawn

ROOMY = 70
"""Columns from which what was read stands beside each place too."""
FASTENER = "n"
"""Before the number of a fastener in the name of its place."""
LEAST_COLUMNS, LEAST_ROWS = 24, 9


class FlangeView(Plain):
    """The map. ``show`` says what stands on it; its size is the widget's own."""

    class Chosen(Message):
        """A place was clicked."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self._drawn: Drawn | None = None
        self._current = ""
        self._map: FlangeMap | None = None
        self._made_of: object = None

    def show(self, drawn: "Drawn", current: str) -> None:
        """Show this, the current place marked."""
        self._drawn, self._current = drawn, current
        self._draw()

    def on_resize(self) -> None:
        """As large as there is room."""
        self._draw()

    def on_click(self, event: Click) -> None:
        """To the place that was clicked."""
        if self._map is None:
            return
        at = next(
            (
                name
                for name, (row, column, letters) in self._map.spots.items()
                if event.y == row and column <= event.x < column + letters
            ),
            None,
        )
        if at is not None:
            self.post_message(self.Chosen(at))

    def _draw(self) -> None:
        columns, rows = self.size
        if self._drawn is None or columns < LEAST_COLUMNS or rows < LEAST_ROWS:
            return
        made_of = (self._drawn, columns, rows)
        if made_of != self._made_of:
            self._map = _made(self._drawn, columns, rows)
            self._made_of = made_of
        assert self._map is not None  # made above
        self.say(marked(self._map, self._current))


def _made(drawn: "Drawn", columns: int, rows: int) -> "FlangeMap":
    from leakdx.diagrams.flangemap import Spot, flange_map

    spots = []
    for name, turn, mark, read in drawn.spots:
        beside = f" {read.split()[0]}" if columns >= ROOMY and read else ""
        spots.append(Spot(name, turn, f"{mark}{name.removeprefix(FASTENER)}{beside}"))
    return flange_map(drawn.line, spots, drawn.stretches, columns, rows)


def marked(made: "FlangeMap", current: str) -> Content:
    """The rows, the spot of that name in reverse."""
    text = Content("\n").join([plain(row.ljust(1)) for row in made.rows])
    if current not in made.spots:
        return text
    row, column, letters = made.spots[current]
    start = sum(len(line.ljust(1)) + 1 for line in made.rows[:row]) + column
    return text.stylize("reverse bold", start, start + letters)
