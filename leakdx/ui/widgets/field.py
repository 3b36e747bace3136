"""A field to type into. Whatever is pasted, what stands in it is what the case can hold, and nothing of it acts."""

from textual.widgets import Input

from leakdx.clean import clean

_ON_ONE_LINE = str.maketrans("\n\t", "  ")


class Field(Input):
    """One line of text. The library shows it as it is: an escape code in it would steer the terminal."""

    def on_mount(self) -> None:
        """Where nothing moves by itself, no cursor blinks."""
        self.cursor_blink = self.app.animation_level != "none"

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether a key is typed here, so that it is no key of the screen; a slash is one that has no other name."""
        return super().check_consume_key(key, "/" if key == "slash" else character)

    def validate_value(self, value: str) -> str:
        """What stands there of what was typed, pasted or put in."""
        return clean(value).translate(_ON_ONE_LINE)
