"""The field of a measurement: arrows up and down go from line to line, whatever stands in it."""

from dataclasses import replace
from typing import ClassVar

from textual.binding import Binding, BindingType

from leakdx.ui.actions import bindings_of
from leakdx.ui.widgets.field import Field

_BETWEEN_LINES = ("before", "after")


class EntryField(Field):
    """One line of text; its screen takes it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        replace(binding, action=f"screen.{binding.action}")
        for binding in bindings_of("entry")
        if isinstance(binding, Binding) and binding.action in _BETWEEN_LINES
    ]
