"""One interview: it asks, takes replies, and has saved each before it asks again."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from msgspec import structs

from leakdx.case import (
    NO_INFORMATION,
    Case,
    Comeback,
    Done,
    Doubt,
    LogEntry,
    Note,
    Observation,
    PlacesSeen,
    Reading,
    Told,
    Withdrawal,
)
from leakdx.errors import CaseError, ChangedError, LeakdxError
from leakdx.explain.course import course_of
from leakdx.interview.agenda import AXLE, NOT_KNOWN, UNIT, Agenda, subjects, truck_question
from leakdx.interview.entries import entries_for
from leakdx.interview.question import NO, YES, Question, Reply, ReplyError
from leakdx.interview.readback import read_back_all
from leakdx.interview.understand import understand
from leakdx.knowledge.entry import (
    Entry,
)
from leakdx.knowledge.faults import suggest
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.names import alike, meant
from leakdx.knowledge.place_signs import wet_sign
from leakdx.quantities import in_system
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.timeline import could_not_have_been_seen
from leakdx.store.entries import closings_first, doubt_chance, places
from leakdx.store.home import CaseHome
from leakdx.store.settings import Ways

_WET_OR_DRY = {"": YES, YES: YES, "y": YES, "wet": YES, NO: NO, "n": NO, "dry": NO}
AFTER_REPAIR = "after_repair"
"""Nothing is asked: the repair is over, and is to be looked at again or closed."""
REVISED = "revised"
"""Notes the withdrawal of an entry that was answered anew."""
MOST_NAMED = 8
"""Entries that are named where a typed word may mean several."""


class Interview:
    """Drives one case, wherever it lives. Any screen can: ask ``question``, give ``take`` a reply, or ``undo``."""

    def __init__(
        self,
        knowledge: Knowledge,
        home: CaseHome,
        who: str,
        now: Callable[[], datetime] = datetime.now,
        bay: str = "",
        ways: Ways | None = None,
        at_hand: float | None = None,
    ) -> None:
        self.knowledge = knowledge
        self.who = who
        self.home = home
        self.bay = bay
        self.ways = ways or Ways()
        self.at_hand = at_hand
        self._now = now
        self._diagnosis: Diagnosis | None = None
        self._batches: list[tuple[int, ...]] = []
        """Entries of each reply of this sitting, so that one undo takes all of them back."""
        self._taken_back: set[int] = set()
        """The first withdrawal of each undo of this sitting: two may come in one second."""

    @property
    def case(self) -> Case:
        """The case as saved."""
        return self.home.case

    @property
    def diagnosis(self) -> Diagnosis:
        """The diagnosis of the case as saved. Raises CaseError where its answers exclude one another."""
        if self._diagnosis is None or self._diagnosis.case is not self.case:
            self._diagnosis = diagnose(self.knowledge, self.case, at_hand=self.at_hand)
        return self._diagnosis

    def question(self) -> Question:
        """What to ask now. Answers that exclude one another leave only the way back."""
        truck = truck_question(self.knowledge, self.case)
        if truck is not None:
            return truck
        try:
            return self._afterwards() or self._in_units(Agenda(self.diagnosis).question())
        except LeakdxError as error:
            return Question(kind="end", id="", text=f"{error} Type u to take the last answer back.")

    def _afterwards(self) -> Question | None:
        """What is left of a repair of which every step is over; None where it is not, or was looked on since."""
        course = course_of(self.knowledge, self.case)
        left = course.afterwards if course is not None else ""
        if course is None or not left or any(subjects(self.knowledge, e) for e in self._since(course.last_entry)):
            return None
        return Question(kind="end", id=AFTER_REPAIR, text=left, why="Every step of the repair is over.")

    def _since(self, number: int) -> Sequence[LogEntry]:
        return [entry for entry in self.case.standing if entry.number > number]

    def _in_units(self, question: Question) -> Question:
        """The question with its reading in the units of the shop."""
        units = self.ways.units
        return structs.replace(question, unit=in_system(question.unit, units)) if units and question.unit else question

    def _as_written(self, reply: Reply) -> Reply:
        """The reply with its reading as the case keeps it: with a point."""
        return structs.replace(reply, value=self.ways.typed_number(reply.value)) if reply.value else reply

    # -- replies -----------------------------------------------------------------------------------------

    def take(self, question: Question, reply: Reply) -> tuple[str, ...]:
        """Write a reply down and save it; returns what was written, in words.

        Raises ReplyError, nothing changed, where the reply cannot be; StorageError where it cannot be saved.
        """
        if question.kind in ("text", "axle", "complaint"):
            return (self._about_truck(question, reply),)
        ids = [id for item in Agenda(self.diagnosis).items(question.check) for id in item.ids] if question.check else []
        return self.write(entries_for(self.knowledge, question, self._as_written(reply), ids))

    def _about_truck(self, question: Question, reply: Reply) -> str:
        """The truck's own fields stand in the head of the file, not in the log."""
        case = self.case
        value = reply.text or reply.answer
        if question.kind == "complaint":
            # What nobody can say stays what cases come in for.
            value = case.complaint if reply.answer in NO_INFORMATION else value
            case = structs.replace(case, complaint=value)
        elif reply.answer in NO_INFORMATION:
            case = structs.replace(case, truck={**case.truck, question.id: NOT_KNOWN})
            value = NOT_KNOWN
        elif question.id == UNIT:
            case = structs.replace(case, unit=value)
        else:
            case = structs.replace(case, axle=value)
        self._save(case)
        return f"{question.id}: {self.knowledge.name(value)}"

    # -- at any time -------------------------------------------------------------------------------------

    def did(self, word: str) -> tuple[str, ...]:
        """Write down an act or a repair that was done, by id, name or synonym."""
        return self.write([Done(number=0, who="", act=self._act(word))])

    def stood_before(self, word: str) -> tuple[str, ...]:
        """Holds and prohibitions against an act or repair, in words; what was done is written down all the same."""
        act = self._act(word)
        try:
            made = self.diagnosis
        except CaseError:  # answers that exclude one another; nothing can be said until one is taken back
            return ()
        meant_by = {act, *(opening for opening, entry in self.knowledge.openings.items() if entry.act == act)}
        holds = (f"HOLD stood before it: {hold.text}" for hold in made.holds if not meant_by.isdisjoint(hold.before))
        bans = (f"BARRED: {ban.say}" for ban in made.forbidden if ban.action in meant_by)
        return tuple(dict.fromkeys((*holds, *bans)))

    def _act(self, word: str) -> str:
        """The id of an act or repair. Raises ReplyError."""
        return _meant(word, {**self.knowledge.acts, **self.knowledge.repairs}, "act or repair")

    def doubt(self, words: str) -> tuple[str, ...]:
        """Doubt an instrument or act: its id, name or synonym, then the chance that it was bad, and with which tool.

        "torque wrench 0.3", "torque_wrench 0.3 with wrench 4"; 0 takes a doubt back.
        """
        known = {**self.knowledge.instruments, **self.knowledge.acts}
        said, _, tool = words.partition(" with ")
        word, _, number = said.strip().rpartition(" ")
        chance = doubt_chance(number)
        if not word or chance is None:
            raise ReplyError("type what is doubted and how much from 0 to 1, such as doubt torque wrench 0.3")
        of = _meant(word, known, "instrument or act")
        return self.write([Doubt(number=0, who="", doubt=of, chance=chance, tool=tool.strip())])

    def saw(self, words: str) -> tuple[str, ...]:
        """Write down what was seen or told and not asked for: by id, name or synonym, and after a colon its answer.

        "crack line", "torque pattern: neighbours low", "housing face flatness: 0.006 in"; without an answer: yes. A
        place by itself was wet, "lock cylinder", with ": no" dry.
        """
        word, _, answer = (part.strip() for part in words.partition(":"))
        place = meant(word, places(self.knowledge))
        if place is not None and meant(word, self.knowledge.signs) is None:
            seen = _WET_OR_DRY.get(answer.casefold())
            if seen is None:
                typed = word[:40]
                raise ReplyError(f"{typed} is a place, so it is wet or dry; type saw {typed}: wet, or saw {typed}: dry")
            wet, dry = ((place,), ()) if seen == YES else ((), (place,))
            return self.write([PlacesSeen(number=0, who="", wet=wet, dry=dry)])
        id = _meant(word, {**self.knowledge.history, **self.knowledge.signs}, "sign")
        question = self.about(id)
        if question is None:
            raise ReplyError(f"no check looks at '{word[:40]}', so it is kept as a note: type note and your words")
        options = {option.id: option.name for option in question.options}
        if not answer and (question.kind == "reading" or (options and YES not in options)):
            which = question.unit or "; ".join(options.values())
            raise ReplyError(f"say which after a colon, such as saw {word[:40]}: and one of these: {which}")
        reply = self._as_written(understand(question, answer or YES))
        return self.write(entries_for(self.knowledge, question, reply, [id]))

    def about(self, id: str) -> Question | None:
        """The question of one sign or of what is told, whether it is next or not; None where no check asks it."""
        found = Agenda(self.diagnosis).about(id)
        return found and self._in_units(found)

    def of_check(self, id: str) -> Question | None:
        """The next question of a check, whether it is next or not; None where it has nothing more to tell."""
        found = Agenda(self.diagnosis).of_check(id)
        return found and self._in_units(found)

    def again(self, number: int) -> Question | None:
        """The question that an entry answered, to be answered anew with ``revise``; None where none did."""
        entry = next((e for e in self.case.standing if e.number == number), None)
        match entry:
            case PlacesSeen():
                return Agenda(self.diagnosis).of_places([wet_sign(place) for place in (*entry.wet, *entry.dry)])
            case Observation() | Reading():
                return self.about(entry.sign)
            case Told():
                return self.about(entry.group)
            case _:
                return None

    def revise(self, number: int, question: Question, reply: Reply) -> tuple[str, ...]:
        """Write down a new answer in place of an entry, which is withdrawn with it. Raises as ``take`` does."""
        said = entries_for(self.knowledge, question, self._as_written(reply), [])
        return self.write([Withdrawal(number=0, who="", entry=number, note=REVISED), *said])

    def came_back(self, word: str) -> tuple[str, ...]:
        """Write down that the truck came back wet at a place, by id, name or synonym; without a word, where it was.

        Said twice in a row of one place it says nothing new.
        """
        known = places(self.knowledge)
        place = _meant(word, known, "place") if word else self.case.complaint
        match self.case.standing[-1:]:
            case (Comeback(number=number, place=was),) if was == place:
                raise ReplyError(f"it is written down already, as entry {number}; undo takes it back")
        first = closings_first(self.knowledge, {e.act for e in self.case.standing if isinstance(e, Done)})
        if first:
            how = " or ".join(map(self.knowledge.name, first))
            raise ReplyError(
                f"it can come back only after it was closed here; first type did and how: {how}. What was done "
                "elsewhere, or before this case, is told: type saw came back: once"
            )
        return self.write([Comeback(number=0, who="", place=place)])

    def note(self, text: str) -> tuple[str, ...]:
        """Write down words that nothing is concluded from."""
        return self.write([Note(number=0, who="", note=text)])

    def story(self, words: str) -> tuple[str, ...]:
        """Keep the driver's own words, behind those that were kept already, apart from what was seen."""
        told = self.case.story
        self._save(structs.replace(self.case, story=f"{told}\n{words}" if told else words))
        return (f"the driver's own words: {words}",)

    def undo(self, entry: int | None = None) -> tuple[str, ...]:
        """Withdraw an entry, or all that the last reply wrote, and with them what nobody can have seen without them.

        Before the first entry it asks about the truck again.
        """
        standing = [e.number for e in self.case.standing]
        if entry is not None and entry not in standing:
            raise ReplyError(f"there is no entry {entry} that stands; the entries that stand are {_listed(standing)}")
        if not standing:
            return (self._forget_truck(),)
        last = next((batch for batch in reversed(self._batches) if standing[-1] in batch), self._reply(standing[-1]))
        # A revision took an entry back with its own withdrawal, which goes with it.
        stands = {*standing, *self.case.withdrawn.values()}
        gone = [entry] if entry is not None else [number for number in last if number in stands]
        withdrawals = [Withdrawal(number=0, who="", entry=number) for number in gone]
        why = f"it cannot have been seen without entry {_listed(gone)}"
        withdrawals += [Withdrawal(number=0, who="", entry=number, note=why) for number in self._left_hanging(gone)]
        first = len(self.case.log) + 1
        written = self.write(withdrawals, a_batch=False)
        self._taken_back.add(first)
        return written

    def _reply(self, number: int) -> tuple[int, ...]:
        """The entries that were written with one, of a sitting that is over: what it was answered in place of."""
        log = self.case.log
        at = next(entry.at for entry in log if entry.number == number)
        for entry in reversed(log[: number - 1]):
            if entry.at != at:
                break
            if isinstance(entry, Withdrawal) and entry.note == REVISED:
                return tuple(range(entry.number, number + 1))
        return (number,)

    def put_back(self) -> tuple[str, ...]:
        """Let what was taken back last stand again, where it stood; once more: what was taken back before that."""
        log = {entry.number: entry for entry in self.case.log}
        took = {by: entry for entry, by in self.case.withdrawn.items() if not isinstance(log[entry], Withdrawal)}
        if not took:
            raise ReplyError("nothing was taken back that could stand again")
        # What one reply took back was taken back by withdrawals in a row, at one moment.
        last = first = max(took)
        withdrawals = set(self.case.withdrawn.values())
        while first - 1 in withdrawals and log[first - 1].at == log[last].at and first not in self._taken_back:
            first -= 1
        again = (Withdrawal(number=0, who="", entry=by, note=_stands_again(log[by])) for by in range(first, last + 1))
        return self.write(list(again), a_batch=False)

    def _left_hanging(self, gone: Sequence[int]) -> list[int]:
        """Standing entries that nobody can have seen once these no longer stand."""
        rest = structs.replace(self.case, log=tuple(e for e in self.case.standing if e.number not in gone))
        return [number for number, _ in could_not_have_been_seen(self.knowledge, rest)]

    def _forget_truck(self) -> str:
        case = self.case
        if case.log:
            raise ReplyError("there is nothing left to take back")
        for name, told in ((AXLE, case.axle), (UNIT, case.unit)):
            if told or name in case.truck:
                rest = {key: value for key, value in case.truck.items() if key != name}
                blank = None if name == AXLE else ""
                self._save(structs.replace(case, truck=rest, **{name: blank}))
                return f"{name}: taken back"
        raise ReplyError("there is nothing to take back yet")

    # -- the log -----------------------------------------------------------------------------------------

    def write(self, said: Sequence[LogEntry], a_batch: bool = True) -> tuple[str, ...]:
        """Save the case with these entries behind its log, numbered and dated; returns them in words.

        Whoever answers has written them, unless an entry says who did.
        """
        at = self._now().replace(microsecond=0)
        start = len(self.case.log) + 1
        base = {"at": at, "bay": self.bay}
        entries = [structs.replace(e, number=n, who=e.who or self.who, **base) for n, e in enumerate(said, start)]
        self._save(structs.replace(self.case, log=(*self.case.log, *entries)))
        if a_batch:
            self._batches.append(tuple(entry.number for entry in entries))
        return read_back_all(self.knowledge, entries)

    def _save(self, case: Case) -> None:
        """Save the case; ReplyError where it would say something that no case can.

        ChangedError where others wrote meanwhile: the case then is what they made of it, and is asked about anew.
        """
        try:
            self.home.save(case)
        except ChangedError:
            self.home.reload()
            raise
        except CaseError as error:
            raise ReplyError(str(error)) from error


def _meant(word: str, known: Mapping[str, Entry], what: str) -> str:
    """The one entry that a typed word means. ReplyError names those that it may mean, or the nearest."""
    exact = meant(word, known)
    if exact is not None:
        return exact
    near = alike(word, known)
    # A word from the middle of a name is too little to write it down for done.
    if len(near) == 1 and all(near.values()):
        return next(iter(near))
    if near:
        names = "; ".join(known[id].name for id in list(near)[:MOST_NAMED])
        more = f" and {len(near) - MOST_NAMED} more" if len(near) > MOST_NAMED else ""
        which = "can mean several; type one of" if len(near) > 1 else "is too little to go by; type the whole of it"
        raise ReplyError(f"'{word[:40]}' {which}: {names}{more}")
    raise ReplyError(f"there is no {what} '{word[:40]}'; {suggest(word, known)}")


def _stands_again(withdrawal: LogEntry) -> str:
    assert isinstance(withdrawal, Withdrawal)
    return f"entry {withdrawal.entry} stands again"


def _listed(numbers: Sequence[int]) -> str:
    return ", ".join(str(number) for number in numbers[-8:]) or "none"
