"""The typed model of knowledge/: one immutable struct per kind of entry, and ``Knowledge``, which holds them all.

The structs hold what the author wrote, words included ("often", "clearly more"); ``Knowledge`` gives
the numbers behind the words. The JSON Schemas are generated from these very types, and the loader
walks them, so a new field is added here (or in ``actions``, for repairs and rules) and nowhere else.
"""

from collections.abc import Mapping
from functools import cached_property
from typing import Annotated, Literal

from msgspec import Meta, Struct

from leakdx.errors import KnowledgeError
from leakdx.knowledge.actions import Finding, Repair, Rule
from leakdx.knowledge.entry import (
    ActId,
    ActOrRepairId,
    Amount,
    CauseId,
    CauseOrFamilyId,
    CautionId,
    Chance,
    Entry,
    FamilyId,
    FindingId,
    GroupId,
    InstrumentId,
    Link,
    OpeningId,
    PlaceId,
    Range,
    Raw,
    Shift,
    SignId,
    SignOrGroupId,
    Source,
    Stray,
    TransferWord,
    Words,
    ZoneId,
)
from leakdx.marks import SET_BY_LOADER, Mark, Text
from leakdx.measured.kinds import Calculation
from leakdx.mechanics.trade import Trade

NORMAL = "no"
ABNORMAL = "yes"
NOT_LISTED = "not_listed"


class Zone(Entry, frozen=True, kw_only=True):
    """Where oil comes out. It is a wet place of the same id too (``is_place``).

    ``paths``: place -> transfer word: how oil gets from here to there.
    """

    paths: Mapping[PlaceId, TransferWord] = {}
    is_place: bool = True
    active: bool = True
    """False for "no active leak": wet, but nothing comes out."""


class Place(Entry, frozen=True, kw_only=True):
    """A place that can be wet without being a zone of its own ("somewhere under the axle")."""


class Family(Entry, frozen=True, kw_only=True):
    """Causes that share a kind of failure."""

    assembly: bool = False
    """They come with a closing of the joint: each new closing may bring them anew."""


class Cause(Entry, frozen=True, kw_only=True):
    """What failed. Three states: absent, present and quiet, present and leaking."""

    plain: Text
    """The same for a customer: no trade word, no blame."""
    family: FamilyId
    share: Annotated[float, Meta(gt=0, lt=100)]
    """Of 100 axles brought in wet at the joint, in how many it leaks."""
    leaks: Link | Literal["always"]
    """How often it leaks when present."""
    zone: ZoneId
    at_zone: Link | Literal["always"] = "always"
    """How often oil comes out there when it leaks: less for what pushes oil out wherever a seal gives way."""
    also_zones: Mapping[ZoneId, Link] = {}
    shows: Mapping[SignId, Link] = {}
    """Signs that are so or not -> word. A link is written here, once, and nowhere else."""
    looks: Mapping[SignId, Mapping[str, Link]] = {}
    """Signs with ordered results -> result -> word; the words of one look sum to at most .95."""
    leads_to: Mapping[CauseId, Link] = {}
    only_if: Mapping[GroupId, tuple[str, ...]] = {}
    """Possible only under one of these answers; an answer not known leaves it possible."""


class Result(Struct, frozen=True, forbid_unknown_fields=True):
    """One result of a look. The first (normal) result of a look has no stray."""

    name: Text
    stray: Stray | None = None


class Measure(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A measured sign: "the true value is beyond the limit". Values in ``unit``.

    The true value is lognormal: ``median``, and ``factor`` between the median and one standard deviation.
    """

    unit: Text
    limit: Annotated[float, Meta(gt=0)]
    beyond: Literal["above", "below"]
    median: Annotated[float, Meta(gt=0)]
    factor: Annotated[float, Meta(gt=1)]
    gauge: Annotated[float, Meta(gt=0)]
    """Standard deviation of one reading."""
    lowest: float = 0.0
    highest: float
    """Readings outside lowest..highest are refused as a slip of the pen."""
    mark: Mark
    reason: Text


class WorkedOut(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """How raw readings answer a sign: by which calculation, and what each of its results means here.

    A measured sign takes the value and its error, and has no ``means``.
    """

    by: Calculation
    of: str = ""
    """The field that says what is spoken of, where the calculation speaks of several things."""
    only: Mapping[str, Text] = {}
    """Fields of the readings with what they must say (which of two faces was read)."""
    means: Mapping[str, Text] = {}
    """Result of the calculation -> answer of the sign."""
    instead_of: tuple[GroupId, ...] = ()
    """History that tells the same less finely: for the causes that show the sign it then says nothing more."""


class Sign(Entry, frozen=True, kw_only=True):
    """One thing that is so or not, or one look with exclusive ordered results.

    Place signs (``wet.PLACE``, ``origin.ZONE``, ``trail.ZONE.PLACE``) are made by the loader, never written.
    """

    hangs_on: Literal["present", "leaking"]
    question: Text | None = None
    """How it is asked; without one the name is, with a question mark."""
    stray: Stray | None = None
    """Needed unless there are ``results``."""
    results: Mapping[str, Result] = {}
    """Ordered: the first is the normal one, the last the worst. Empty: no / yes."""
    measure: Measure | None = None
    worked_out: WorkedOut | None = None
    """How raw readings of a case answer it; None: they do not."""
    unless_seen: Mapping[SignId, tuple[str, ...]] = {}
    """Moot once another look gave one of these answers: what is wet at slack fasteners, where none is slack."""
    place: Annotated[tuple[str, ...], SET_BY_LOADER] = ()
    """Of a place sign: ("wet", place), ("origin", zone) or ("trail", zone, place). Set by the loader."""

    @property
    def outcomes(self) -> tuple[str, ...]:
        """Answers in order, the normal one first."""
        return tuple(self.results) or (NORMAL, ABNORMAL)


class Answer(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One exclusive answer of a history group; ``common``: of 100 axles reported wet."""

    name: Text
    common: Annotated[float, Meta(ge=0, le=100)]
    shifts: Mapping[CauseOrFamilyId, Shift] = {}
    opens: tuple[OpeningId, ...] = ()
    """States of the truck that hold where this is so (it came in washed), with what they spoil."""
    covers: tuple[Text, ...] = ()
    """Answers of the same group that a find may show without being against this one (both: one of the two)."""
    mark: Mark | None = None
    reason: Text | None = None


class Group(Entry, frozen=True, kw_only=True):
    """Exclusive history facts: one question, one answer, a shift for each answer."""

    question: Text
    answers: Annotated[Mapping[str, Answer], Meta(min_length=2)]
    fitted: bool = False
    """A fact of how the truck is built; an axle family may answer it."""
    at_counter: bool = False
    """Asked as a case is begun, before anyone has looked."""


class Instrument(Entry, frozen=True, kw_only=True):
    """A tool that readings rely on. ``doubt``: chance that it is bad with nothing said about it.

    The strays of the signs hold it already; a doubt stated in a case counts once it is more than that.
    """

    doubt: Stray


class Caution(Entry, frozen=True, kw_only=True):
    """A safety sentence, shown at the step that needs it."""

    text: Text


class Opening(Entry, frozen=True, kw_only=True):
    """A state of the truck that a check or repair needs (washed, driven, carrier out): paid once."""

    minutes: Range
    elapsed_hours: Amount = 0.0
    """Waiting, beyond hands-on work (cooling, draining)."""
    needs: tuple[OpeningId, ...] = ()
    act: ActId | None = None
    """The act of the log that brings this state about."""
    spoils: tuple[SignId, ...] = ()
    """Signs that can no longer be seen as found."""
    cautions: tuple[CautionId, ...] = ()


class Act(Entry, frozen=True, kw_only=True):
    """Something done to the truck that is logged. With ``cures`` it starts an epoch."""

    cures: Mapping[CauseOrFamilyId, Link | Literal["surely"]] = {}
    opens: tuple[OpeningId, ...] = ()
    closes: tuple[OpeningId, ...] = ()
    undoes: tuple[ActOrRepairId, ...] = ()
    """What was done before it and holds no longer (a joint that is opened again has used fasteners).

    A closing that the truck came back from will be opened, so coming back undoes it too.
    """
    spoils: tuple[SignId, ...] = ()
    hides: tuple[SignId, ...] = ()
    """Signs that say nothing, like the place signs, until the truck has been driven."""
    renews: tuple[SignId, ...] = ()
    """Condition signs whose stray is drawn anew, since the part was opened or renewed."""
    needs_driving: bool = False
    """After it, wet and origin signs may be asked only once the truck has been driven (washing)."""
    drives: bool = False
    """The truck is driven, so oil can show again."""


class Check(Entry, frozen=True, kw_only=True):
    """An act that reveals signs. ``minutes``: hands-on (low, high), access apart."""

    question: Text
    how: Annotated[tuple[Text, ...], Meta(min_length=1)]
    tools: tuple[Text, ...] = ()
    minutes: Range
    access: tuple[OpeningId, ...] = ()
    reveals: Annotated[tuple[SignOrGroupId, ...], Meta(min_length=1)]
    cautions: tuple[CautionId, ...] = ()
    spoils: tuple[SignId, ...] = ()
    instrument: InstrumentId | None = None
    no_answer: Stray | None = None
    """How often it tells nothing: nobody knows, it cannot be reached, or it is seen and not told."""
    only_if: Mapping[GroupId, tuple[str, ...]] = {}
    once_told: Mapping[GroupId, tuple[str, ...]] = {}
    """Asked only once one of these answers is known: moot until then (how it was closed, before it is known to be)."""
    once_found: tuple[FindingId, ...] = ()
    """Asked only once a rule has stated one of these findings ("the same place as last time?")."""
    unless_found: tuple[FindingId, ...] = ()
    """Moot once a rule has stated one of these findings."""
    looks_again: bool = False
    """"Clean, mark, drive, look again by DATE; do not open it"."""
    on_wall: bool = False
    """Worth a sheet on the wall of the shop: what each of its signs speaks for."""
    ask_order: int | None = None
    """Place among the opening questions of the interview; None: not an opening question."""
    ask_if_wet: tuple[PlaceId, ...] = ()
    """An opening question only where one of these places was seen wet; elsewhere it comes by its worth."""


class AxleValue(Struct, frozen=True, forbid_unknown_fields=True):
    """A value of an axle family, with unit ("" for a count) and mark."""

    value: float
    unit: str
    mark: Mark
    reason: Text


class Axle(Entry, frozen=True, kw_only=True):
    """An axle family. ``from_manual``: typed for the truck at hand; until then its values are blanks."""

    fitted: Mapping[GroupId, str] = {}
    """Answers of ``fitted`` history groups that this family settles."""
    values: Mapping[str, AxleValue] = {}
    from_manual: bool = False


class Shop(Entry, frozen=True, kw_only=True):
    """Shop settings that decisions follow. Money in ``currency``, rates per hour."""

    currency: Text
    labour_rate: Amount
    downtime_rate: Amount
    comeback_cost: Amount
    stop_and_ask_price: Amount
    second_visit_minutes: Amount
    floor_minutes: Amount
    """A check must gain more than this many minutes of labour and downtime to be worth asking for."""
    quiet_starts: Chance
    """Chance that a quiet cause left behind starts to leak within the comeback time."""
    new_leak: Mapping[Literal["gasket", "sealant"], Chance]
    """Chance of a new leak by one closing."""
    recheck_days: Annotated[int, Meta(ge=0)]


class Knowledge(Struct, frozen=True, kw_only=True, dict=True):
    """Everything loaded, by kind and id, in the order written. ``hash``: of the files' bytes."""

    hash: str
    words: Words
    sources: Mapping[str, Source]
    zones: Mapping[str, Zone]
    places: Mapping[str, Place]
    families: Mapping[str, Family]
    causes: Mapping[str, Cause]
    signs: Mapping[str, Sign]
    """Written signs and the place signs made by the loader."""
    history: Mapping[str, Group]
    instruments: Mapping[str, Instrument]
    cautions: Mapping[str, Caution]
    openings: Mapping[str, Opening]
    acts: Mapping[str, Act]
    checks: Mapping[str, Check]
    repairs: Mapping[str, Repair]
    findings: Mapping[str, Finding]
    rules: Mapping[str, Rule]
    axles: Mapping[str, Axle]
    shops: Mapping[str, Shop]
    trade: Trade | None = None
    """Numbers that calculations fall back on; a test knowledge may leave them out."""
    complaint: PlaceId
    """The place that shares are stated for: reported wet at the joint."""
    has_not_listed: bool = True
    """A test knowledge may leave "not listed here" out."""

    @property
    def trade_numbers(self) -> Trade:
        """The numbers of the trade. KnowledgeError where there are none."""
        if self.trade is None:
            raise KnowledgeError(["the knowledge has no 'trade', so nothing can be worked out; write its numbers"])
        return self.trade

    def link(self, strength: Link) -> float:
        """Probability behind a link word; "always" and "surely" are 1."""
        if isinstance(strength, Raw):
            return strength.value
        if strength in ("always", "surely"):
            return 1.0
        return self.words.links[strength]

    def stray(self, strength: Stray | None) -> float:
        """Probability behind a stray word; none written: 0."""
        if strength is None:
            return 0.0
        return strength.value if isinstance(strength, Raw) else self.words.strays[strength]

    def no_answer(self, check: str) -> float:
        """Chance that a check tells nothing and yet costs its minutes."""
        return self.stray(self.checks[check].no_answer or self.words.no_answer)

    def decibans(self, shift: Shift) -> float:
        """Decibans behind "clearly more" (+) or "clearly less" (-)."""
        if isinstance(shift, Raw):
            return shift.value
        degree, direction = shift.rsplit(" ", 1)
        return self.words.shifts[degree] * (1.0 if direction == "more" else -1.0)

    @cached_property
    def family_members(self) -> Mapping[str, tuple[str, ...]]:
        """family -> its causes, in order ("not listed" apart)."""
        return {f: tuple(c for c, cause in self.causes.items() if cause.family == f) for f in self.families}

    def members(self, cause_or_family: str) -> tuple[str, ...]:
        """The causes meant by a cause's or a family's id."""
        if cause_or_family in self.causes:
            return (cause_or_family,)
        return self.family_members[cause_or_family]

    @cached_property
    def assembly(self) -> frozenset[str]:
        """Causes that a new closing of the joint may bring anew."""
        return frozenset(c for c, cause in self.causes.items() if self.families[cause.family].assembly)

    @cached_property
    def shown_by(self) -> Mapping[str, frozenset[str]]:
        """Written sign -> the causes that it is a sign of."""
        showing: dict[str, set[str]] = {}
        for id, cause in self.causes.items():
            for sign in (*cause.shows, *cause.looks):
                showing.setdefault(sign, set()).add(id)
        return {sign: frozenset(causes) for sign, causes in showing.items()}

    def name(self, id: str) -> str:
        """The name of whatever has this id."""
        if id == NOT_LISTED:
            return self.words.not_listed.name
        for kind in (self.causes, self.signs, self.zones, self.places, self.families, self.history, self.checks,
                     self.repairs, self.acts, self.openings, self.findings, self.rules, self.axles,
                     self.instruments):  # fmt: skip
            if id in kind:
                return kind[id].name
        return id


def unmet(only_if: Mapping[str, tuple[str, ...]], history: Mapping[str, str]) -> tuple[str, ...]:
    """The groups of an ``only_if`` whose known answer is none of those that will do; not known is no bar."""
    return tuple(group for group, answers in only_if.items() if group in history and history[group] not in answers)
