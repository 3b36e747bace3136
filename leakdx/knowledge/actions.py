"""Repairs and rules as they are written: what is done about a leak, and what follows from what."""

from collections.abc import Mapping
from typing import Annotated, Literal

from msgspec import Meta, Struct, field

from leakdx.knowledge.entry import (
    ActId,
    ActionId,
    ActOrRepairId,
    Amount,
    CauseId,
    CauseOrFamilyId,
    CautionId,
    CheckId,
    Entry,
    FindingId,
    GroupId,
    InstrumentOrActId,
    Link,
    OpeningId,
    PlaceId,
    Range,
    RepairId,
    SignId,
)
from leakdx.marks import Text

Phase = Literal["evidence", "open", "clean", "mend", "ready", "close", "tighten", "fill", "prove"]
PHASES: tuple[Phase, ...] = ("evidence", "open", "clean", "mend", "ready", "close", "tighten", "fill", "prove")
"""The job in the order of work: look and call before anything is undone; read what was opened; scrape and chase;
measure and mend; show it fit to be closed; close; tighten; fill and make ready for the road; prove it."""


Clock = Literal["bead begun", "joint closed", "cure begun"]
"""What a step sets going when it is ticked: the open time of a bead begins, is kept, and its cure begins."""


class Step(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One step of a repair; ``hold``: what someone must look at and sign before going on.

    ``phase``: where it stands in a job of several repairs. The same ``do`` in two repairs of a job is done once.
    """

    do: Text
    phase: Phase = "mend"
    cautions: tuple[CautionId, ...] = ()
    hold: Text | None = None
    clock: Clock | None = None
    fastening_order: bool = False
    """The ring is tightened in it, so the order of its fasteners belongs to it."""
    act: ActId | None = None
    """The act that doing it is: it is held by what holds that act, and written down as done."""


class Repair(Entry, frozen=True, kw_only=True):
    """A repair action. ``minutes`` hands-on (low, high) without access; ``elapsed_hours`` waiting (low, high)."""

    plain: Text
    cures: Mapping[CauseOrFamilyId, Link | Literal["surely"]] = {}
    closes: Literal["gasket", "sealant"] | None = None
    """The way that the joint is closed by it: adds the shop's chance of a new leak, once per closing."""
    makes: Mapping[GroupId, str] = {}
    """Answers of history groups that hold once it is done (what seals the joint from then on)."""
    access: tuple[OpeningId, ...] = ()
    minutes: Range
    elapsed_hours: Range = (0.0, 0.0)
    parts: Amount = 0.0
    """Money, in the shop's currency."""
    together_with: tuple[tuple[RepairId, ...], ...] = ()
    """Each inner tuple: one of these must be in the same path (a closing, after the carrier was out)."""
    first_hold: tuple[CheckId, ...] = ()
    """Checks whose good result must stand before it (faces measured before a gasket)."""
    steps: tuple[Step, ...] = ()
    tools: tuple[Text, ...] = ()
    needs_parts: tuple[Text, ...] = ()
    proof: Text
    recheck: Text
    never: tuple[Text, ...] = ()
    only_if: Mapping[GroupId, tuple[str, ...]] = {}
    releases: bool = False
    """Nothing is opened or mended by it: cleaned, released, and looked at again by a date."""
    asks_maker: bool = False
    """"Stop and ask the maker": priced by the shop, cures nothing by itself."""


class Finding(Entry, frozen=True, kw_only=True):
    """What a rule concludes from readings and signs, in words."""


class Condition(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One premise: exactly one of the subject fields; ``is_`` (written ``is``) its answers, any of them.

    ``absent: true`` asks that nothing of the kind is so (in the working memory of this stratum or earlier).
    """

    sign: SignId | None = None
    any_sign: tuple[SignId, ...] = ()
    """One of these signs will do, each by any of ``is``; absent: none of them."""
    reading: SignId | None = None
    arc: SignId | None = None
    """Clock positions were given where this was seen."""
    history: GroupId | None = None
    finding: FindingId | None = None
    act: ActOrRepairId | None = None
    open: OpeningId | None = None
    complaint: PlaceId | Literal["any"] | None = None
    doubted: InstrumentOrActId | None = None
    """Of this instrument or act there is more doubt than always."""
    returned: Literal["once", "again"] | None = None
    """The truck came back in this log after a repair; again: a second time."""
    established: CauseId | None = None
    excluded: CauseId | None = None
    is_: tuple[str, ...] = field(default=(), name="is")
    absent: bool = False
    surely: bool = False
    """Only an answer given as sure will do (needed to establish or exclude)."""


class Conclusion(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One conclusion: exactly one of the subject fields."""

    finding: FindingId | None = None
    sign: SignId | None = None
    history: GroupId | None = None
    is_: str | None = field(default=None, name="is")
    establish: CauseId | None = None
    exclude: CauseId | None = None
    forbid: ActionId | None = None
    scope: Literal["not as the cure", "not before", "not at all", "unless together with"] | None = None
    of: tuple[CauseOrFamilyId, ...] = ()
    """With "not as the cure": of which causes (none named: of any)."""
    other: tuple[ActionId, ...] = ()
    """With "not before" / "unless together with": what comes first or along."""
    hold: Text | None = None
    """A hold, in words; ``before`` what it holds, ``record`` which checks settle it."""
    before: tuple[ActionId, ...] = ()
    record: tuple[CheckId, ...] = ()
    require: RepairId | None = None
    """In every path (inspect for damage after a low level)."""
    put_right: RepairId | None = None
    """Seen wrong though quiet: put right while it is open."""
    caution: CautionId | None = None
    fit: Literal["yes", "recheck", "no"] | None = None
    say: Text | None = None
    """The reason in words; needed with fit, forbid and put_right."""


Stratum = Literal["measure", "locate", "implicate", "settle", "act"]
STRATA: tuple[Stratum, ...] = ("measure", "locate", "implicate", "settle", "act")


class Rule(Entry, frozen=True, kw_only=True):
    """A forward-chaining rule; all conditions hold, all conclusions follow."""

    stratum: Stratum
    when: Annotated[tuple[Condition, ...], Meta(min_length=1)]
    then: Annotated[tuple[Conclusion, ...], Meta(min_length=1)]
