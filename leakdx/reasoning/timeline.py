"""What a case's log means: epochs, the answers that stand, and the state the truck is in now. Pure.

An act that can cure something (or renews a part) starts an epoch; before the first one it is epoch 0. Acts
with nothing seen between them share one.
Within an epoch a later answer to the same sign replaces the earlier one, and readings are all kept, as
further readings of one true value; across epochs everything is kept, since the truth may have changed.
"""

from collections.abc import Mapping, Sequence
from itertools import chain

from msgspec import Struct

from leakdx.case import (
    CANNOT_REACH,
    NO_INFORMATION,
    NOT_FITTED,
    UNSURE,
    Case,
    Comeback,
    Done,
    LogEntry,
    Measurement,
    Observation,
    PlacesSeen,
    Reading,
    Sureness,
    Told,
)
from leakdx.errors import CaseError, LeakdxError
from leakdx.knowledge.actions import Repair
from leakdx.knowledge.model import Act, Knowledge
from leakdx.reasoning.doubt import StandingDoubt, relied_on, standing_doubts
from leakdx.reasoning.looks import looks_of
from leakdx.reasoning.truck import Truck
from leakdx.reasoning.worked_out import Worked, work_out

CAME_BACK = ""
"""In the place of an act: the truck came back."""
FROM_AXLE = 0
"""Entry number of a history answer that the axle family settles, not the log."""


class SignAnswer(Struct, frozen=True):
    """An outcome that stands for a sign in one epoch, and the entry that gave it."""

    entry: int
    sign: str
    answer: str
    sure: Sureness
    epoch: int
    arc: tuple[float, float] | None = None
    relies: tuple[str, ...] = ()
    """The doubts that bear on it."""
    worked: Worked | None = None
    """Raw readings that it was worked out from."""


class SignReading(Struct, frozen=True):
    """One reading of a measured sign: value and unit as typed."""

    entry: int
    sign: str
    value: str
    unit: str
    epoch: int
    relies: tuple[str, ...] = ()
    worked: Worked | None = None
    """Raw readings that it was worked out from; value and unit are then as a gauge of this fineness shows it."""


class HistoryAnswer(Struct, frozen=True):
    """The answer that stands for a history group; ``entry`` is FROM_AXLE when the axle family gave it."""

    entry: int
    group: str
    answer: str


class ActDone(Struct, frozen=True):
    """An act or repair that was done. ``starts``: the epoch that it opens, alone or with others, if it does.

    ``cures``: cause -> chance that this act ends it, families already resolved to their causes. ``dries``: every place
    is dry after it, and tells nothing before a drive.
    """

    entry: int
    act: str
    starts: int | None
    cures: Mapping[str, float]
    renews: tuple[str, ...]
    dries: bool = False


class Closing(Struct, frozen=True):
    """A repair that closed the joint, and what was told of its history until then."""

    entry: int
    repair: str
    history: tuple[HistoryAnswer, ...]


class Return(Struct, frozen=True):
    """The truck came back wet at ``place``. ``closing``: the joint was closed so since it last came in, if it was."""

    entry: int
    place: str
    epoch: int
    closing: Closing | None


class Timeline(Struct, frozen=True, kw_only=True):
    """The meaning of a log. Tuples are in order of entry; sets speak of the moment after the last entry."""

    complaint: str
    epoch: int
    """The last epoch; 0 until something was done that can cure."""
    answers: tuple[SignAnswer, ...]
    """At most one for each sign and epoch."""
    readings: tuple[SignReading, ...]
    history: tuple[HistoryAnswer, ...]
    acts: tuple[ActDone, ...]
    doubts: tuple[StandingDoubt, ...]
    returns: tuple[Return, ...]
    open: Mapping[str, int]
    """Openings that stand open -> the entry that brought them about or could not have been seen without them."""
    spoiled: frozenset[str]
    """Signs that can no longer be seen as found."""
    must_drive_first: bool
    """Place signs (wet, origin, trail) say nothing until the truck has been driven."""
    hidden: frozenset[str]
    """Other signs that say nothing until then."""
    answered: frozenset[str]
    """Signs with an outcome or a reading in the last epoch, less those to be looked at again."""
    look_again: frozenset[str]
    """Signs of which nothing is known but what was seen with an instrument before it was doubted."""
    unsure: frozenset[str]
    """Signs (in the last epoch) and history groups that someone could not tell: not asked again."""
    out_of_reach: frozenset[str]
    """Signs not reached, with nothing opened by an act since."""
    not_fitted: frozenset[str]
    """Signs of a part that this truck does not have."""
    looked: frozenset[str]
    """Signs and groups that someone has answered at any time, "unsure" and "not fitted" included."""
    done: frozenset[str]
    """Acts and repairs done, and openings brought about, at any time."""

    @property
    def closings(self) -> tuple[Return, ...]:
        """The returns with a new closing before them."""
        return tuple(r for r in self.returns if r.closing is not None)

    def is_past(self, knowledge: Knowledge, sign: str, entry: int) -> bool:
        """Whether an answer speaks only of a joint that has been closed anew since, and come back."""
        last = max((r.closing.entry for r in self.returns if r.closing is not None), default=0)
        of_assembly = not knowledge.shown_by.get(sign, frozenset()).isdisjoint(knowledge.assembly)
        return entry < last and (of_assembly or bool(knowledge.signs[sign].place))

    @property
    def shaken(self) -> frozenset[str]:
        """The doubts that make unsure what rests on them."""
        return frozenset(doubt.id for doubt in self.doubts if doubt.matters)

    def made(self, knowledge: Knowledge, check: str) -> bool:
        """Whether a check was made: something that it reveals is written down."""
        return not (self.looked - self.look_again).isdisjoint(knowledge.checks[check].reveals)

    def is_done(self, knowledge: Knowledge, action: str) -> bool:
        """Whether an act, repair, opening or check lies behind us."""
        return action in self.done or (action in knowledge.checks and self.made(knowledge, action))


def timeline(knowledge: Knowledge, case: Case) -> Timeline:
    """Work out what the standing entries of a case mean.

    Raises:
        CaseError: An entry names a sign, answer, group, act or axle that the knowledge does not have.
    """
    reader = _Reader(knowledge, standing_doubts(knowledge, case.standing), case.axle)
    for entry in case.standing:
        reader.read(entry)
        _tell_truck(reader.truck, case, entry)
    return reader.finish(case)


def cures_of(knowledge: Knowledge, action: Act | Repair) -> dict[str, float]:
    """Cause -> chance that an action ends it; what is written for a cause counts before its family's."""
    families_first = sorted(action.cures, key=lambda whom: whom in knowledge.causes)
    return {cause: knowledge.link(action.cures[whom]) for whom in families_first for cause in knowledge.members(whom)}


class _Reader:
    """Walks the standing entries once, in order."""

    def __init__(self, knowledge: Knowledge, doubts: Sequence[StandingDoubt], axle: str | None) -> None:
        self.knowledge = knowledge
        self.axle = axle
        self.doubts = tuple(doubts)
        self.relied = relied_on(doubts)
        self.worthless = {look for doubt in doubts if doubt.chance >= 1 for look in doubt.touches}
        """Looks that are as if nobody had taken them."""
        self.truck = Truck(knowledge)
        self.epoch = 0
        self.answers: dict[tuple[str, int], SignAnswer] = {}
        self.readings: list[SignReading] = []
        self.told: dict[str, HistoryAnswer] = {}
        self.acts: list[ActDone] = []
        self.closing: Closing | None = None
        self.returns: list[Return] = []
        self.unsure: set[tuple[str, int]] = set()
        self.unsure_groups: set[str] = set()
        self.out_of_reach: set[str] = set()
        self.not_fitted: set[str] = set()
        self.looked: set[str] = set()

    def read(self, entry: LogEntry) -> None:
        if isinstance(entry, Told):
            self._tell(entry)
        elif isinstance(entry, Done):
            self._do(entry)
        elif isinstance(entry, Comeback):
            self._come_back(entry)
        elif isinstance(entry, Reading):
            self._measure(entry)
        elif isinstance(entry, Observation | PlacesSeen):
            for sign, answer in looks_of(self.knowledge, entry):
                self._see(entry, sign, answer)
        elif isinstance(entry, Measurement):
            for worked in self._work_out(entry):
                self._take(entry, worked)

    def _see(self, entry: Observation | PlacesSeen, sign: str, answer: str) -> None:
        self._check_sign(entry, sign, answer)
        if (entry.number, sign) in self.worthless:
            return
        relies = self.relied.get((entry.number, sign), ())
        key = (sign, self.epoch)
        if answer == CANNOT_REACH:
            # Not looked at, so it takes back nothing that was seen.
            self.out_of_reach.add(sign)
            return
        self.looked.add(sign)
        for kept in (self.out_of_reach, self.not_fitted):
            kept.discard(sign)
        before = self.answers.get(key)
        if before is not None and before.worked is not None:
            return  # in words, what the readings say in numbers: one look is not counted twice
        self.unsure.discard(key)
        self.answers.pop(key, None)
        if answer == UNSURE:
            self.unsure.add(key)
        elif answer == NOT_FITTED:
            self.not_fitted.add(sign)
        else:
            self.truck.seen(sign, entry.number)
            self.answers[key] = SignAnswer(entry.number, sign, answer, entry.sure, self.epoch, entry.arc, relies)

    def _work_out(self, entry: Measurement) -> tuple[Worked, ...]:
        try:
            return work_out(self.knowledge, self.axle, entry)
        except LeakdxError as error:
            raise CaseError(f"Entry {entry.number}: {error}") from error

    def _take(self, entry: Measurement, worked: Worked) -> None:
        """What raw readings say of one sign; it goes before what was said of it in words."""
        sign = worked.sign
        if (entry.number, sign) in self.worthless:
            return
        relies = self.relied.get((entry.number, sign), ())
        self.truck.seen(sign, entry.number)
        self.looked.add(sign)
        for kept in (self.out_of_reach, self.not_fitted):
            kept.discard(sign)
        if worked.value is not None:
            self.readings.append(SignReading(entry.number, sign, *worked.typed, self.epoch, relies, worked))
            return
        key = (sign, self.epoch)
        self.unsure.discard(key)
        self.answers[key] = SignAnswer(
            entry.number, sign, worked.answer, worked.sure, self.epoch, relies=relies, worked=worked
        )

    def _measure(self, entry: Reading) -> None:
        self._check_sign(entry, entry.sign)
        if (entry.number, entry.sign) in self.worthless:
            return
        relies = self.relied.get((entry.number, entry.sign), ())
        self.truck.seen(entry.sign, entry.number)
        self.readings.append(SignReading(entry.number, entry.sign, entry.value, entry.unit, self.epoch, relies))
        self.looked.add(entry.sign)
        self.out_of_reach.discard(entry.sign)
        self.not_fitted.discard(entry.sign)

    def _tell(self, entry: Told) -> None:
        group = self.knowledge.history.get(entry.group)
        if group is None:
            raise _fault(entry, f"there is no history group {entry.group!r}")
        self.told.pop(entry.group, None)
        self.unsure_groups.discard(entry.group)
        if entry.answer in NO_INFORMATION:
            if entry.answer != CANNOT_REACH:
                self.looked.add(entry.group)
                self.unsure_groups.add(entry.group)
            return
        if entry.answer not in group.answers:
            raise _fault(entry, f"{entry.group!r} is answered by one of {', '.join(group.answers)}")
        self.looked.add(entry.group)
        self.told[entry.group] = HistoryAnswer(entry.number, entry.group, entry.answer)

    def _do(self, entry: Done) -> None:
        knowledge = self.knowledge
        act = knowledge.acts.get(entry.act)
        action = act or knowledge.repairs.get(entry.act)
        if action is None:
            raise _fault(entry, f"there is no act or repair {entry.act!r}")
        renews = act.renews if act else ()
        # A renewed part is a new truth for its signs, so a later answer must not replace the earlier one.
        starts = self._next_epoch() if action.cures or renews else None
        dries = act is not None and act.needs_driving
        self.acts.append(ActDone(entry.number, entry.act, starts, cures_of(knowledge, action), renews, dries))
        self.epoch = self.epoch if starts is None else starts
        if isinstance(action, Repair) and action.closes is not None:
            self.closing = Closing(entry.number, entry.act, tuple(self.told.values()))
        if self.truck.do(entry.act, entry.number):
            self.out_of_reach.clear()

    def _come_back(self, entry: Comeback) -> None:
        """A new epoch, in which what a new closing brought may be there beside what it left."""
        knowledge, closing = self.knowledge, self.closing
        renews: tuple[str, ...] = ()
        if closing is not None:
            renews = tuple(s for s, causes in knowledge.shown_by.items() if causes & knowledge.assembly)
            for group, answer in knowledge.repairs[closing.repair].makes.items():
                if group not in self.told or self.told[group].entry < closing.entry:
                    self.told[group] = HistoryAnswer(closing.entry, group, answer)
        self.epoch = self._next_epoch()
        self.acts.append(ActDone(entry.number, CAME_BACK, self.epoch, {}, renews))
        self.returns.append(Return(entry.number, entry.place, self.epoch, closing))
        self.closing = None
        self.truck.come_back()
        self.out_of_reach.clear()
        self.looked -= knowledge.signs.keys()

    def _next_epoch(self) -> int:
        """Acts with nothing seen between them share an epoch: there is nothing that could tell them apart."""
        seen = any(epoch == self.epoch for _, epoch in self.answers) or any(
            r.epoch == self.epoch for r in self.readings
        )
        return self.epoch + 1 if seen or self.epoch == 0 else self.epoch

    def _check_sign(self, entry: LogEntry, sign: str, answer: str | None = None) -> None:
        known = self.knowledge.signs.get(sign)
        if known is None:
            raise _fault(entry, f"there is no sign {sign!r}")
        if answer is not None and answer not in known.outcomes and answer not in NO_INFORMATION:
            raise _fault(entry, f"{sign!r} is answered by one of {', '.join((*known.outcomes, *NO_INFORMATION))}")

    def finish(self, case: Case) -> Timeline:
        now = {sign for sign, epoch in self.answers if epoch == self.epoch}
        now.update(reading.sign for reading in self.readings if reading.epoch == self.epoch)
        look_again = self._to_look_again()
        # What was done before it came back did not do.
        back = max((one.entry for one in self.returns), default=0)
        return Timeline(
            complaint=case.complaint,
            epoch=self.epoch,
            answers=tuple(sorted(self.answers.values(), key=lambda answer: (answer.entry, answer.sign))),
            readings=tuple(self.readings),
            history=tuple(sorted(self._history(case), key=lambda fact: (fact.entry, fact.group))),
            acts=tuple(self.acts),
            doubts=self.doubts,
            returns=tuple(self.returns),
            open=dict(self.truck.open),
            spoiled=frozenset(self.truck.spoiled),
            must_drive_first=self.truck.must_drive_first,
            hidden=frozenset(self.truck.hidden),
            answered=frozenset(now - look_again),
            look_again=look_again,
            unsure=frozenset(sign for sign, epoch in self.unsure if epoch == self.epoch) | self.unsure_groups,
            out_of_reach=frozenset(self.out_of_reach),
            not_fitted=frozenset(self.not_fitted),
            looked=frozenset(self.looked),
            done=frozenset(chain((act.act for act in self.acts if act.entry > back), self.truck.brought)),
        )

    def _to_look_again(self) -> frozenset[str]:
        doubted = {
            look
            for doubt in self.doubts
            if doubt.matters and doubt.of in self.knowledge.instruments
            for look in doubt.touches
            if look[0] < doubt.entry
        }
        looks = {(seen.entry, seen.sign) for seen in self.answers.values()}
        looks.update((reading.entry, reading.sign) for reading in self.readings)
        return frozenset({sign for _, sign in looks & doubted} - {sign for _, sign in looks - doubted})

    def _history(self, case: Case) -> list[HistoryAnswer]:
        facts = list(self.told.values())
        if case.axle is not None:
            axle = self.knowledge.axles.get(case.axle)
            if axle is None:
                raise CaseError(f"There is no axle family {case.axle!r}; known are {', '.join(self.knowledge.axles)}.")
            untold = (item for item in axle.fitted.items() if item[0] not in self.told)
            facts.extend(HistoryAnswer(FROM_AXLE, group, answer) for group, answer in untold)
        return facts


def _tell_truck(truck: Truck, case: Case, entry: LogEntry) -> None:
    """What was told of the truck's state, unless another answer took its place later."""
    if isinstance(entry, Told):
        last = max(e.number for e in case.standing if isinstance(e, Told) and e.group == entry.group)
        if entry.number == last:
            truck.told(entry.group, entry.answer, entry.number)


def _fault(entry: LogEntry, sentence: str) -> CaseError:
    return CaseError(f"Entry {entry.number}: {sentence}.")


def could_not_have_been_seen(knowledge: Knowledge, case: Case) -> tuple[tuple[int, str], ...]:
    """Answers that nobody can have had yet: (entry number, sentence) for each, in order of entry.

    An answer needs every opening of one of the checks that reveal it; an opening that no act of the log
    brings about is taken to have been there. Place signs need a drive after an act such as washing.
    "Can't reach", "unsure" and "not fitted" claim to have seen nothing and are never at fault.
    """
    truck = Truck(knowledge)
    faults = []
    for entry in case.standing:
        if isinstance(entry, Done):
            truck.do(entry.act, entry.number)
        _tell_truck(truck, case, entry)
        for sign, answer in looks_of(knowledge, entry):
            sentence = None if answer in NO_INFORMATION else truck.why_not_seen(sign)
            if sentence is not None:
                faults.append((entry.number, sentence))
    return tuple(faults)
