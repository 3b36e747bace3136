"""What stands half typed on a page of a case: kept beside the case until it is written down or wiped."""

from collections.abc import Mapping

from msgspec import Struct


class Draft(Struct, frozen=True, kw_only=True):
    """``title``: what it is and where it is typed, in words. ``typed``: line -> what was taken there already.

    ``field``: what stands in the field, letter by letter; ``line``: the line that it is typed on, where there are
    several.
    """

    title: str
    typed: Mapping[str, str] = {}
    line: str = ""
    field: str = ""
