"""From a reply to the entries that it writes into the log, still without number, name and time."""

from collections.abc import Sequence
from datetime import date

from msgspec.structs import replace

from leakdx.case import CANNOT_REACH, UNSURE, Done, LogEntry, Observation, PlacesSeen, Reading, Told
from leakdx.interview.question import YES, Question, Reply, ReplyError
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.place_signs import wet_sign
from leakdx.quantities import QuantityError
from leakdx.store.entries import CALIBRATED_IS, calibration_day, check_reading


def entries_for(knowledge: Knowledge, question: Question, reply: Reply, left: Sequence[str]) -> list[LogEntry]:
    """The entries of one reply. ``left``: what the question's check still had to tell, signs and history groups.

    Raises ReplyError where a reading cannot be.
    """
    match question.kind:
        case "act" if reply.answer == YES:
            return [_done(question.id)]
        case "act":
            # The truck will not be brought into the state that the check needs: nothing of it can be reached.
            return [_no_information(knowledge, id, CANNOT_REACH) for id in left]
        case "repair":
            return [_done(act) for act in reply.done]
        case "places" if reply.answer:
            return [_no_information(knowledge, wet_sign(option.id), reply.answer) for option in question.options]
        case "places":
            places = PlacesSeen(number=0, who="", wet=reply.wet, dry=reply.dry, arc=reply.arc, sure=reply.sure)
            others = [o.id for o in question.options if o.id not in (*reply.wet, *reply.dry)] if reply.rest else []
            return [places, *(_no_information(knowledge, wet_sign(id), reply.rest) for id in others)]
        case "history":
            return [_told(question.id, reply.answer)]
        case "reading" if reply.value:
            return [_reading(knowledge, question.id, reply)]
        case _:
            seen = Observation(number=0, who="", sign=question.id, answer=reply.answer, sure=reply.sure, arc=reply.arc)
            return [seen]


def _done(act: str) -> Done:
    return Done(number=0, who="", act=act)


def _no_information(knowledge: Knowledge, id: str, answer: str) -> LogEntry:
    if id in knowledge.signs:
        return Observation(number=0, who="", sign=id, answer=answer)
    return _told(id, answer)


def _told(group: str, answer: str) -> Told:
    # What the truck's people do not know is not known, however it was put.
    return Told(number=0, who="", group=group, answer=UNSURE if answer == CANNOT_REACH else answer)


def _reading(knowledge: Knowledge, sign: str, reply: Reply) -> Reading:
    measure = knowledge.signs[sign].measure
    assert measure is not None  # only a measured sign is asked as a reading
    try:
        check_reading(reply.value, reply.unit, measure)
    except QuantityError as error:
        raise ReplyError(str(error)) from error
    calibrated = calibration_day(reply.calibrated, date.today()) if reply.calibrated else ""
    if calibrated is None:
        raise ReplyError(f"'{reply.calibrated[:40]}' is no day until now; {CALIBRATED_IS}")
    read = Reading(number=0, who="", sign=sign, value=reply.value, unit=reply.unit, tool=reply.tool)
    return replace(read, calibrated=calibrated)
