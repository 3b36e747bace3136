"""One question and one reply, as any screen can show and gather them."""

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from leakdx.case import Sureness
from leakdx.errors import ExitCode, LeakdxError

YES = "yes"
NO = "no"

Kind = Literal["text", "axle", "complaint", "places", "sign", "history", "reading", "act", "repair", "end"]
"""text: free words about the truck. complaint: the place that it came in for. act: was this done? repair: the path is
clear, what of it was done? end: nothing to ask; what is written down may still be changed or added to."""


class ReplyError(LeakdxError):
    """A reply that cannot be taken; the sentence says what would be right. Nothing has been changed."""

    exit_code = ExitCode.USAGE


class Option(Struct, frozen=True):
    """One way to answer. ``words``: other ways to type it.

    ``number``: what it is typed by where that is not its place in the list (a place of the axle keeps its number).
    ``by_name_only``: not meant by "rest".
    """

    id: str
    name: str
    words: tuple[str, ...] = ()
    number: int | None = None
    by_name_only: bool = False


def numbered(options: Sequence[Option]) -> dict[int, Option]:
    """Number -> option, as they are shown and typed."""
    return {place if option.number is None else option.number: option for place, option in enumerate(options, start=1)}


class Question(Struct, frozen=True, kw_only=True):
    """What to ask. ``id``: the sign, history group, act or field of the case that the reply is about."""

    kind: Kind
    id: str
    text: str
    check: str = ""
    """The check that it is part of, by id; the fields below are the check's, for its first question."""
    options: tuple[Option, ...] = ()
    unit: str = ""
    """Of a reading, unless another is typed."""
    why: str = ""
    how: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    minutes: tuple[float, float] | None = None
    needs: tuple[str, ...] = ()
    """States of the truck that it is looked at in, in words."""
    cautions: tuple[str, ...] = ()
    holds: tuple[str, ...] = ()
    """What must be written down before going on, in words."""


class Reply(Struct, frozen=True, kw_only=True):
    """What was replied: one field, by the kind of question; ``answer`` may be one of NO_INFORMATION."""

    answer: str = ""
    text: str = ""
    wet: tuple[str, ...] = ()
    dry: tuple[str, ...] = ()
    rest: str = ""
    """Why the other places are neither, where that was said: one of NO_INFORMATION."""
    arc: tuple[float, float] | None = None
    sure: Sureness = "sure"
    value: str = ""
    unit: str = ""
    tool: str = ""
    calibrated: str = ""
    """When the tool was, as 2026-01-12."""
    done: tuple[str, ...] = ()
