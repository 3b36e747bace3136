"""What every entry of knowledge/ is written with: marks, ids that refer to other entries, and words for numbers.

``ref(KIND)`` names the kind that an id must belong to; the loader checks every such reference.
"""

from collections.abc import Mapping
from typing import Annotated, Literal

from msgspec import Meta, Struct

from leakdx.marks import SET_BY_LOADER, Mark, Text, ref

Chance = Annotated[float, Meta(ge=0, le=1)]
Amount = Annotated[float, Meta(ge=0)]
"""Minutes, hours, money or a count: never below nought."""
ZoneId = Annotated[str, ref("zones")]
PlaceId = Annotated[str, ref("places")]
"""Of a place, or of a zone that is one (``is_place``)."""
FamilyId = Annotated[str, ref("families")]
CauseId = Annotated[str, ref("causes")]
CauseOrFamilyId = Annotated[str, ref("causes", "families")]
SignId = Annotated[str, ref("signs")]
GroupId = Annotated[str, ref("history")]
SignOrGroupId = Annotated[str, ref("signs", "history")]
CheckId = Annotated[str, ref("checks")]
OpeningId = Annotated[str, ref("openings")]
ActId = Annotated[str, ref("acts")]
ActOrRepairId = Annotated[str, ref("acts", "repairs")]
RepairId = Annotated[str, ref("repairs")]
ActionId = Annotated[str, ref("repairs", "acts", "checks", "openings")]
CautionId = Annotated[str, ref("cautions")]
FindingId = Annotated[str, ref("findings")]
InstrumentId = Annotated[str, ref("instruments")]
InstrumentOrActId = Annotated[str, ref("instruments", "acts")]
TransferWord = Annotated[str, ref("words.transfers")]

Range = tuple[Amount, Amount]
"""(low, high)."""


class Raw(Struct, frozen=True, forbid_unknown_fields=True):
    """A number that was measured or published, written in place of a word, with its own mark."""

    value: float
    mark: Mark
    reason: Text


RawChance = Annotated[Raw, Meta(extra={"chance": True})]
"""A raw number that is a probability."""
Link = Annotated[str, ref("words.links")] | RawChance
"""How often a cause that is there shows the thing: probability without the stray."""
Stray = Annotated[str, ref("words.strays")] | RawChance
"""How often a sign is seen with nothing behind it: probability."""
Shift = Annotated[str, ref("words.shifts")] | Raw
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
    no_answer: Stray | None = None
    """How often a check tells nothing, out of reach or seen and not told, where it says nothing of its own."""
    on_first_drive: Link | None = None
    """How often oil that gets from one place to another is there by the end of the drive after a wash; else always."""
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
