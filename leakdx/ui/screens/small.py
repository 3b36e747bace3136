"""What is shown where the terminal is too small for anything else."""

from textual.app import ComposeResult

from leakdx.ui.screens.base import Dialog
from leakdx.ui.widgets.plain import Plain


class SmallScreen(Dialog[None]):
    """Says how large it has to be; it goes by itself once there is room."""

    def __init__(self, columns: int, rows: int) -> None:
        super().__init__()
        self._least = f"leakdx needs {columns} columns and {rows} rows. Make the window larger, or the letters smaller."

    def compose(self) -> ComposeResult:
        """One sentence."""
        yield Plain(f"{self._least} Nothing is lost. In a smaller one: leakdx ask")
