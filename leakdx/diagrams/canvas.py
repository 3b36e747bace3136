"""A drawing of the joint in plain characters, for a terminal."""

from collections.abc import Iterable, Sequence
from functools import lru_cache

Point = tuple[float, float]


class Canvas:
    """Rows of characters round the middle of the joint; a character is taken as twice as tall as wide."""

    def __init__(
        self,
        half_width: float,
        half_height: float,
        columns: int = 64,
        rows: int = 21,
        margin: tuple[int, int] = (9, 1),
    ) -> None:
        """``half_width`` and ``half_height`` (m) fit inside with a margin of columns and rows for labels."""
        self._rows = [[" "] * columns for _ in range(rows)]
        beside, over = margin
        self._scale = min((columns / 2 - beside) / half_width, (rows - 1 - 2 * over) / half_height)
        self._middle = columns / 2, (rows - 1) / 2
        self._kept: set[tuple[int, int]] = set()

    def put(self, point: Point, text: str) -> None:
        """Text in the middle of which the point lies; what stands there is covered."""
        row, column = self._start(point, text)
        self._write(column, row, text)

    def put_free(self, point: Point, text: str) -> tuple[int, int]:
        """As ``put``, or as near as nothing else stands that was put so; row and column of its first letter.

        A blank is left beside it where there is room for one.
        """
        place = self._nearest_free(self._start(point, text), len(text))
        self._kept.update((place[0], place[1] + step) for step in range(len(text)))
        self._write(place[1], place[0], text)
        return place

    def dots(self, points: Iterable[Point], mark: str = ".") -> None:
        """The mark at each point."""
        for point in points:
            column, row = self._cell(point)
            self._write(column, row, mark)

    def lines(self) -> list[str]:
        """The rows from the first to the last that holds anything, without blanks that all begin with."""
        return without_margin(self.whole())

    def whole(self) -> list[str]:
        """All rows, where they stand."""
        return ["".join(row).rstrip() for row in self._rows]

    def _start(self, point: Point, text: str) -> tuple[int, int]:
        """Row and column of the first letter of a text in the middle of which the point lies."""
        column, row = self._cell(point)
        return row, column - (len(text) - 1) // 2

    def _nearest_free(self, wanted: tuple[int, int], letters: int) -> tuple[int, int]:
        row, column = wanted
        rows, columns = len(self._rows), len(self._rows[0]) - letters + 1
        if 0 <= row < rows and 0 <= column < columns and self._is_free(wanted, letters, 1):
            return wanted
        for room in (1, 0):
            for down, right in _outwards(rows, len(self._rows[0])):
                at = row + down, column + right
                if 0 <= at[0] < rows and 0 <= at[1] < columns and self._is_free(at, letters, room):
                    return at
        raise ValueError(f"no room for {letters} more letters on the drawing")

    def _is_free(self, at: tuple[int, int], letters: int, room: int) -> bool:
        row, column = at
        return all((row, column + step) not in self._kept for step in range(-room, letters + room))

    def _cell(self, point: Point) -> tuple[int, int]:
        x, y = point
        return round(self._middle[0] + x * self._scale), round(self._middle[1] - y * self._scale / 2)

    def _write(self, column: int, row: int, text: str) -> None:
        if not 0 <= row < len(self._rows):
            return
        cells = self._rows[row]
        column = min(max(0, column), len(cells) - len(text))
        cells[column : column + len(text)] = text


@lru_cache(8)
def _outwards(rows: int, columns: int) -> tuple[tuple[int, int], ...]:
    """Steps down and right to every cell that there can be, the nearest first."""
    steps = ((down, right) for down in range(-rows, rows + 1) for right in range(-columns, columns + 1))
    return tuple(sorted(steps, key=lambda step: (2 * step[0]) ** 2 + step[1] ** 2))


def without_margin(whole: Sequence[str]) -> list[str]:
    """Rows without empty ones before and behind, and without blanks that all begin with."""
    rows = list(whole)
    while rows and not rows[0]:
        rows.pop(0)
    while rows and not rows[-1]:
        rows.pop()
    indent = min((len(row) - len(row.lstrip()) for row in rows if row), default=0)
    return [row[indent:] for row in rows]
