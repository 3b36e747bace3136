"""A field to type into. Whatever is pasted, what stands in it is what the case can hold, and nothing of it acts."""

from textual.widgets import Input

from leakdx.clean import clean

_ON_ONE_LINE = str.maketrans("\n\t", "  ")


class Field(Input):
    """One line of text. The library shows it as it is: an escape code in it would steer the terminal."""

    def validate_value(self, value: str) -> str:
        """What stands there of what was typed, pasted or put in."""
        return clean(value).translate(_ON_ONE_LINE)
