"""A drawing of the joint in plain characters, for a terminal."""

from collections.abc import Iterable

Point = tuple[float, float]


class Canvas:
    """Rows of characters round the middle of the joint; a character is taken as twice as tall as wide."""

    def __init__(self, half_width: float, half_height: float, columns: int = 64, rows: int = 21) -> None:
        """``half_width`` and ``half_height`` (m) fit inside with a margin for labels."""
        self._rows = [[" "] * columns for _ in range(rows)]
        margin = 9
        self._scale = min((columns / 2 - margin) / half_width, (rows - 3) / half_height)
        self._middle = columns / 2, (rows - 1) / 2

    def put(self, point: Point, text: str) -> None:
        """Text in the middle of which the point lies; what stands there is covered."""
        column, row = self._cell(point)
        self._write(column - (len(text) - 1) // 2, row, text)

    def dots(self, points: Iterable[Point], mark: str = ".") -> None:
        """The mark at each point."""
        for point in points:
            column, row = self._cell(point)
            self._write(column, row, mark)

    def lines(self) -> list[str]:
        """The rows from the first to the last that holds anything, without blanks that all begin with."""
        rows = ["".join(row).rstrip() for row in self._rows]
        while rows and not rows[0]:
            rows.pop(0)
        while rows and not rows[-1]:
            rows.pop()
        indent = min((len(row) - len(row.lstrip()) for row in rows if row), default=0)
        return [row[indent:] for row in rows]

    def _cell(self, point: Point) -> tuple[int, int]:
        x, y = point
        return round(self._middle[0] + x * self._scale), round(self._middle[1] - y * self._scale / 2)

    def _write(self, column: int, row: int, text: str) -> None:
        if not 0 <= row < len(self._rows):
            return
        cells = self._rows[row]
        column = min(max(0, column), len(cells) - len(text))
        cells[column : column + len(text)] = text
