"""What a measurement is typed as: the fields of a dataclass, each with the reader of its text.

The same fields are the options of ``leakdx calc`` and stand under ``by:`` in a case, so that both are read alike.
"""

import dataclasses
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import Any, TypeVar

from leakdx.mechanics.given import MeasureError

_Given = TypeVar("_Given")
_READ, _EXAMPLE = "read", "example"


class FieldError(MeasureError):
    """A field that cannot be so; ``field`` names it, empty where one is missing."""

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        super().__init__(message)


def typed_as(read: Callable[[str], object], default: Any = None) -> Any:
    """A field that may be left out, read from its text by ``read``."""
    return dataclasses.field(default=default, metadata={_READ: read})


def needed_as(read: Callable[[str], object], example: str) -> Any:
    """A field that must be given."""
    return dataclasses.field(metadata={_READ: read, _EXAMPLE: example})


def words(text: str) -> tuple[str, ...]:
    """Words as they stand; what they mean is read together."""
    return tuple(text.split())


def text(typed: str) -> str:
    """A word as it stands."""
    return typed.strip()


def reader(kind: type, name: str) -> Callable[[str], Any]:
    """The reader of a field."""
    read: Callable[[str], Any] = _fields(kind)[name].metadata[_READ]
    return read


def from_texts(kind: type[_Given], texts: Mapping[str, str]) -> _Given:
    """A measurement from the texts of its fields.

    FieldError: no such field, one that is missing, or a text that cannot be; the first that is found.
    """
    known = _fields(kind)
    values = {}
    for name, typed in texts.items():
        if name not in known:
            near = get_close_matches(name, known, n=1)
            right = f"did you mean '{near[0]}'?" if near else f"known are {', '.join(known)}"
            raise FieldError(name, f"'{name[:40]}' is no part of this measurement; {right}")
        try:
            values[name] = reader(kind, name)(typed)
        except MeasureError as error:
            raise FieldError(name, str(error)) from error
    for name, field in known.items():
        if name not in texts and _EXAMPLE in field.metadata:
            raise FieldError("", f"'{name}' is missing; write it as {name}: {field.metadata[_EXAMPLE]}")
    return kind(**values)


def from_names(kind: type[_Given], names: object) -> _Given:
    """A measurement from attributes of the same names, as a command's arguments have them; missing ones left out."""
    values = {name: getattr(names, name) for name in _fields(kind) if getattr(names, name, None) is not None}
    return kind(**values)


def _fields(kind: type) -> dict[str, "dataclasses.Field[Any]"]:
    return {field.name: field for field in dataclasses.fields(kind)}
