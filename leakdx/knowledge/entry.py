"""What every entry of knowledge/ is written with: marks, ids that refer to other entries, and words for numbers.

``Meta(extra={"ref": KIND})`` names the kind that an id must belong to; the loader checks every such reference.
"""

from collections.abc import Mapping
from typing import Annotated, Literal

from msgspec import Meta, Struct

COMMON_PRACTICE = "common practice, no source"
FROM_MEMORY = "from memory"
INVENTED = "invented for the demo"
PLAIN_MARKS = (COMMON_PRACTICE, FROM_MEMORY, INVENTED)


def _ref(*kinds: str) -> Meta:
    """An id that must be defined by one of these kinds."""
    return Meta(extra={"ref": kinds}, extra_json_schema={"x-ref": list(kinds)})


SET_BY_LOADER = Meta(extra={"set_by_loader": True}, extra_json_schema={"x-set-by-loader": True})
"""Marks a field that no author writes."""

Text = Annotated[str, Meta(min_length=1)]
Chance = Annotated[float, Meta(ge=0, le=1)]
Amount = Annotated[float, Meta(ge=0)]
"""Minutes, hours, money or a count: never below nought."""
ZoneId = Annotated[str, _ref("zones")]
PlaceId = Annotated[str, _ref("places")]
"""Of a place, or of a zone that is one (``is_place``)."""
FamilyId = Annotated[str, _ref("families")]
CauseId = Annotated[str, _ref("causes")]
CauseOrFamilyId = Annotated[str, _ref("causes", "families")]
SignId = Annotated[str, _ref("signs")]
GroupId = Annotated[str, _ref("history")]
SignOrGroupId = Annotated[str, _ref("signs", "history")]
CheckId = Annotated[str, _ref("checks")]
OpeningId = Annotated[str, _ref("openings")]
ActId = Annotated[str, _ref("acts")]
ActOrRepairId = Annotated[str, _ref("acts", "repairs")]
RepairId = Annotated[str, _ref("repairs")]
ActionId = Annotated[str, _ref("repairs", "acts", "checks", "openings")]
CautionId = Annotated[str, _ref("cautions")]
FindingId = Annotated[str, _ref("findings")]
InstrumentId = Annotated[str, _ref("instruments")]
InstrumentOrActId = Annotated[str, _ref("instruments", "acts")]
TransferWord = Annotated[str, _ref("words.transfers")]
Mark = Annotated[str, _ref("marks")]
"""One of PLAIN_MARKS, or the id of an entry of ``sources``."""

Range = tuple[Amount, Amount]
"""(low, high)."""


class Raw(Struct, frozen=True, forbid_unknown_fields=True):
    """A number that was measured or published, written in place of a word, with its own mark."""

    value: float
    mark: Mark
    reason: Text


RawChance = Annotated[Raw, Meta(extra={"chance": True})]
"""A raw number that is a probability."""
Link = Annotated[str, _ref("words.links")] | RawChance
"""How often a cause that is there shows the thing: probability without the stray."""
Stray = Annotated[str, _ref("words.strays")] | RawChance
"""How often a sign is seen with nothing behind it: probability."""
Shift = Annotated[str, _ref("words.shifts")] | Raw
"""Decibans on the log-odds of a base rate: "clearly more", "slightly less"."""


class Entry(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What every entry carries. ``at`` is ``file:line:column``, set by the loader."""

    name: Text
    mark: Mark
    reason: Text
    synonyms: tuple[Text, ...] = ()
    at: Annotated[str, SET_BY_LOADER] = ""


class Words(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The small tables behind the words; a shop can edit them. Probabilities and decibans.

    ``shifts`` is written once per degree ("clearly": 6); authors write "clearly more" / "clearly less".
    """

    links: Mapping[str, Chance]
    strays: Mapping[str, Chance]
    shifts: Mapping[str, Annotated[float, Meta(gt=0)]]
    transfers: Mapping[str, Chance]
    place_signs: Mapping[Literal["reported", "wet", "origin", "trail"], "PlaceSign"]
    not_listed: "NotListedWords"
    plain: Mapping[Text, Text] = {}
    """What a customer is told in place of a word or phrase of the trade."""
    mark: Mark
    reason: Text
    at: Annotated[str, SET_BY_LOADER] = ""


class PlaceSign(Struct, frozen=True, forbid_unknown_fields=True):
    """Strength of one kind of place sign: link and stray, the same for every zone."""

    link: Link
    stray: Stray


class NotListedWords(Struct, frozen=True, forbid_unknown_fields=True):
    """The weak parent of every sign, "not listed here". ``share`` of 100 wet axles; the rest probabilities."""

    name: Text
    family: FamilyId
    share: Annotated[float, Meta(gt=0, lt=100)]
    zone: ZoneId
    joint: Link
    elsewhere: Chance
    nowhere: tuple[ZoneId, ...] = ()
    """Zones that it never lets oil out of ("no active leak")."""
    also: Mapping[ZoneId, Link] = {}
    """Zones that it lets oil out of with a word of their own, such as "another place on this axle"."""


class Source(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A published source that marks may name."""

    title: Text
    where: Text
    status: Literal["read", "as reproduced in a public page", "from memory"]
    at: Annotated[str, SET_BY_LOADER] = ""
