"""Which question comes next: worked out from the case alone, so that a resumed interview asks what it asked before.

First the truck, then the look that is under way, then what is cheap and decisive (the checks that the knowledge
puts at the opening), then the check worth its minutes, until the repair is clear and all is written down that
must be before it.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct, structs

from leakdx.case import Case, LogEntry, Measurement, Observation, PlacesSeen, Reading, Told
from leakdx.errors import TooWideError
from leakdx.interview.question import NO, YES, Kind, Option, Question
from leakdx.knowledge.entry import (
    Entry,
)
from leakdx.knowledge.model import Check, Knowledge
from leakdx.knowledge.place_signs import wet_sign
from leakdx.reasoning.answer import NextCheck
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.looks import looks_of
from leakdx.reasoning.told_worth import expected_move

UNIT = "unit"
AXLE = "axle"
NOT_KNOWN = "not known"
"""Stands in the case's free text about the truck, so that it is not asked again."""

_WET = "wet"
_LOOKS_FURTHER = "look_further"
_OPENING_MOVE, _LATER_MOVE = 0.08, 0.03
"""What is told is an opening question where its answers move the chances of all causes together by this much on
average; what moves them by less waits until no look is worth its minutes, and by less than the second is not asked."""


class Item(Struct, frozen=True):
    """One thing that a check still has to tell: a sign, a history group, or several places at one look."""

    kind: Kind
    ids: tuple[str, ...]


def truck_question(knowledge: Knowledge, case: Case) -> Question | None:
    """Which truck, which axle; asked before anything was seen or told, and not after."""
    if any(subjects(knowledge, entry) for entry in case.log):
        return None
    if not case.unit and UNIT not in case.truck:
        return unit_question()
    return axle_question(knowledge) if case.axle is None and AXLE not in case.truck else None


def unit_question() -> Question:
    """Which truck."""
    why = "So that the next one under it finds this case again."
    return Question(kind="text", id=UNIT, text="Which truck is it? Unit number and which axle, in your words.", why=why)


def axle_question(knowledge: Knowledge) -> Question:
    """Which axle family."""
    options = tuple(Option(id, axle.name, axle.synonyms) for id, axle in knowledge.axles.items())
    why = "What is fitted (dowels, lock) and the limits and torques that hold depend on it."
    return Question(kind="axle", id=AXLE, text="Which axle family?", options=options, why=why)


class Agenda:
    """The questions that one state of a case leaves open."""

    def __init__(self, diagnosis: Diagnosis) -> None:
        self.diagnosis = diagnosis
        self.knowledge = diagnosis.knowledge
        self.open_signs: Mapping[str, tuple[str, ...]] = diagnosis.offer.checks()

    def question(self) -> Question:
        """The next question; of kind "repair" or "end" where there is nothing to look at any more."""
        for check, items in self._checks():
            question = self._about(check, items)
            if question is not None:
                return question
        return self._ending()

    # -- which check -------------------------------------------------------------------------------------

    def _checks(self) -> Iterator[tuple[str, list[Item]]]:
        """Checks to ask about and what of them, first things first; what is costly only if it comes to that."""
        under_way = self._under_way()
        if under_way is not None:
            yield under_way, self._worth_asking(under_way, _OPENING_MOVE)
        yield from ((check, self.items(check)) for check in self._fit_hangs_on())
        yield from ((check, self._worth_asking(check, _OPENING_MOVE)) for check in self._opening(_OPENING_MOVE))
        answers = self.diagnosis.answers
        if answers.next_check is not None:  # before a repair it is what a hold wants written down first
            yield answers.next_check.id, self.items(answers.next_check.id)
        if answers.decision.do == _LOOKS_FURTHER:
            yield from ((check.id, self.items(check.id)) for check in answers.other_checks)
        yield from ((check, self._worth_asking(check, _LATER_MOVE)) for check in self._opening(_LATER_MOVE))

    def _under_way(self) -> str | None:
        """The check that the last answer belongs to, if it has more to tell and all before that answer is told.

        Where two checks tell the same thing it belongs to the one of which more has been told.
        """
        standing = self.diagnosis.case.standing
        spoken = [subjects(self.knowledge, entry) for entry in standing]
        last = spoken[-1] if spoken else frozenset()
        told = frozenset[str]().union(*spoken)
        asked = [id for id, check in self.knowledge.checks.items() if last.intersection(check.reveals)]
        if not asked:
            return None
        id = max(asked, key=lambda id: len(told.intersection(self.knowledge.checks[id].reveals)))
        check, items = self.knowledge.checks[id], self._worth_asking(id, _OPENING_MOVE)
        if not items or self._closed(check):
            return None
        at = min(place for place, revealed in enumerate(check.reveals) if revealed in last)
        return id if min(check.reveals.index(item.ids[0]) for item in items) > at else None

    def _fit_hangs_on(self) -> tuple[str, ...]:
        """Looks that fit to drive waits on: danger before anything else."""
        rule = self.diagnosis.fit_to_drive.by
        holds = (hold for hold in self.diagnosis.holds if hold.rule == rule)
        return tuple(check for hold in holds for check in self.diagnosis.offer.to_record(hold))

    def _opening(self, least: float) -> Iterator[str]:
        """Opening checks of which something that moves the chances by so much was never asked, in their order."""
        looked = self.diagnosis.timeline.looked
        order = {id: check.ask_order for id, check in self.knowledge.checks.items() if self._opens_interview(check)}
        for id in sorted(order, key=lambda id: order[id] or 0):
            if any(looked.isdisjoint(item.ids) for item in self._worth_asking(id, least)):
                yield id

    def _opens_interview(self, check: Check) -> bool:
        """Whether it is an opening question, on this truck."""
        wet = {wet_sign(place) for place in check.ask_if_wet}
        seen = any(answer.sign in wet and answer.answer == YES for answer in self.diagnosis.timeline.answers)
        return check.ask_order is not None and (seen or not wet)

    def _worth_asking(self, check: str, least: float) -> list[Item]:
        """What a check may still tell, less what is told and moves the chances by less as the case stands."""
        return [item for item in self.items(check) if item.kind != "history" or self._moves(item.ids[0], least)]

    def _moves(self, group: str, least: float) -> bool:
        """Whether an answer moves the chances by so much, or says what state the truck is in."""
        if any(answer.opens for answer in self.knowledge.history[group].answers.values()):
            return True
        try:
            return expected_move(self.knowledge, group, self._chances) >= least
        except TooWideError:
            return True

    @cached_property
    def _chances(self) -> Mapping[str, float]:
        return {cause.id: cause.leaking_first for cause in self.diagnosis.causes}

    def items(self, check: str) -> list[Item]:
        """What a check may still tell, in the order that it says; places that may be wet are one look."""
        if not self.diagnosis.offer.allows(check):
            return []
        reveals = self.knowledge.checks[check].reveals
        signs = () if self._is_out_of_reach(reveals) else self.open_signs.get(check, ())
        wet = tuple(id for id in signs if self._is_wet(id))
        items: list[Item] = []
        for id in reveals:
            if id in wet:
                if id == wet[0]:
                    items.append(Item("places", wet))
            elif id in signs or self._untold(id):
                items.append(Item(self._kind(id), (id,)))
        return items

    def _is_out_of_reach(self, reveals: Sequence[str]) -> bool:
        """Where one thing of a look is out of reach the rest of it is too; places are reached one by one."""
        signs = self.knowledge.signs
        return any(id in self.diagnosis.timeline.out_of_reach and not signs[id].place for id in reveals if id in signs)

    def _untold(self, group: str) -> bool:
        known = self.diagnosis.history
        return group in self.knowledge.history and group not in known and group not in self.diagnosis.timeline.looked

    def _closed(self, check: Check) -> list[str]:
        """Openings that the check needs, that are not open, and that an act brings about; what needs what first."""
        openings, found = self.knowledge.openings, list[str]()

        def visit(opening: str) -> None:
            if opening in found or opening in self.diagnosis.timeline.open:
                return
            for needed in openings[opening].needs:
                visit(needed)
            if openings[opening].act is not None:
                found.append(opening)

        for opening in check.access:
            visit(opening)
        return found

    # -- in words ----------------------------------------------------------------------------------------

    def _about(self, id: str, items: Sequence[Item]) -> Question | None:
        """The next question of a check: an act that it needs first, or the first thing that it still has to tell."""
        if not items:
            return None
        check = self.knowledge.checks[id]
        closed = self._closed(check)
        return self._act(id, closed[0]) if closed else self._item(id, check, items[0])

    def _act(self, check: str, opening: str) -> Question:
        entry = self.knowledge.openings[opening]
        act = entry.act or ""
        name = self.knowledge.name(act)
        return Question(
            kind="act",
            id=act,
            text=f'Next is "{self.knowledge.name(check)}". It needs: {entry.name}. Is this done: {name}?',
            check=check,
            options=(Option(YES, "done"), Option(NO, "not done, and not going to be now")),
            why=self._why(check),
            minutes=entry.minutes,
            cautions=self._texts(entry.cautions),
            holds=self._holds({act, opening, check}),
        )

    def _item(self, id: str, check: Check, item: Item) -> Question:
        first = item.ids[0]
        asked = Question(
            kind=item.kind,
            id=first,
            text=check.question,
            check=id,
            why=self._why(id),
            how=check.how,
            tools=check.tools,
            minutes=check.minutes,
            needs=tuple(self.knowledge.name(opening) for opening in check.access),
            cautions=self._texts(check.cautions),
            holds=self._holds({id}),
        )
        if item.kind == "places":
            options = tuple(self._place(check, sign) for sign in item.ids)
            return structs.replace(asked, options=options)
        if item.kind == "history":
            group = self.knowledge.history[first]
            options = tuple(Option(answer, entry.name) for answer, entry in group.answers.items())
            return structs.replace(asked, text=group.question, options=options)
        sign = self.knowledge.signs[first]
        if sign.measure is not None:
            text = sign.question or f"{sign.name}: what does it read?"
            return structs.replace(asked, text=text, unit=sign.measure.unit)
        results = tuple(Option(result, entry.name) for result, entry in sign.results.items())
        options = results or (Option(YES, "yes"), Option(NO, "no"))
        return structs.replace(asked, text=sign.question or f"{sign.name}?", options=options)

    def about(self, id: str) -> Question | None:
        """The question of one sign or of what is told, as some check asks it; None where no check does."""
        for check, entry in self.knowledge.checks.items():
            if id in entry.reveals:
                return self._item(check, entry, Item(self._kind(id), (id,)))
        return None

    def of_check(self, id: str) -> Question | None:
        """The next question of a check, whether it is next or not; None where it has nothing more to tell."""
        return self._about(id, self.items(id))

    def of_places(self, wet: Collection[str]) -> Question | None:
        """The whole look at several places that these are seen at, to be answered again."""
        for check, entry in self.knowledge.checks.items():
            seen = tuple(id for id in entry.reveals if id in self.knowledge.signs and self._is_wet(id))
            if len(seen) > 1 and set(wet) <= set(seen):
                return self._item(check, entry, Item("places", seen))
        return None

    def _is_wet(self, sign: str) -> bool:
        return self.knowledge.signs[sign].place[:1] == (_WET,)

    def _kind(self, id: str) -> Kind:
        if id in self.knowledge.history:
            return "history"
        return "sign" if self.knowledge.signs[id].measure is None else "reading"

    def _ending(self) -> Question:
        """The path is clear, or there is nothing to do; either way more can be written down."""
        answers = self.diagnosis.answers
        path = answers.repairs[0].actions if answers.repairs else ()
        if answers.decision.do != "repair" or not path:
            return Question(kind="end", id=answers.decision.do, text=answers.decision.reason)
        options = tuple(self._option(action) for action in path)
        text = "This is the repair. When some of it has been done: which?"
        return Question(kind="repair", id=answers.decision.do, text=text, options=options, why=answers.decision.reason)

    def _place(self, check: Check, sign: str) -> Option:
        """A place by its number in the whole look. One that only collects oil is never "the rest": it is named."""
        place = self.knowledge.signs[sign].place[1]
        number = check.reveals.index(sign) + 1
        return structs.replace(self._option(place), number=number, by_name_only=place in self.knowledge.places)

    def _option(self, id: str) -> Option:
        kinds: tuple[Mapping[str, Entry], ...] = (self.knowledge.zones, self.knowledge.places, self.knowledge.repairs)
        words = next((kind[id].synonyms for kind in kinds if id in kind), ())
        return Option(id, self.knowledge.name(id), words)

    def _why(self, check: str) -> str:
        """Why this check: what its answer would decide, or the author's reason for asking it of everyone."""
        if self.knowledge.checks[check].ask_order is None:
            answers = self.diagnosis.answers
            asked: list[NextCheck] = [answers.next_check] if answers.next_check else []
            for shown in (*asked, *answers.other_checks):
                if shown.id == check:
                    return shown.why
        return self.knowledge.checks[check].reason

    def _texts(self, cautions: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(self.knowledge.cautions[caution].text for caution in cautions)

    def _holds(self, about: set[str]) -> tuple[str, ...]:
        return tuple(hold.text for hold in self.diagnosis.holds if not about.isdisjoint(hold.before))


def subjects(knowledge: Knowledge, entry: LogEntry) -> frozenset[str]:
    """The signs or the history group that an entry tells about."""
    match entry:
        case PlacesSeen() | Observation() | Reading() | Measurement():
            return frozenset(sign for sign, _ in looks_of(knowledge, entry))
        case Told():
            return frozenset({entry.group})
        case _:
            return frozenset()
