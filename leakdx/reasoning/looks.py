"""What an entry of the log looked at."""

from leakdx.case import LogEntry, Measurement, Observation, PlacesSeen, Reading
from leakdx.knowledge.model import ABNORMAL, NORMAL, Knowledge
from leakdx.knowledge.place_signs import wet_sign
from leakdx.reasoning.worked_out import answered_by


def looks_of(knowledge: Knowledge, entry: LogEntry) -> tuple[tuple[str, str], ...]:
    """(sign, answer) pairs that an observation or a look at places gives; of readings the answer is empty."""
    if isinstance(entry, Observation):
        return ((entry.sign, entry.answer),)
    if isinstance(entry, PlacesSeen):
        wet = ((wet_sign(place), ABNORMAL) for place in entry.wet)
        return (*wet, *((wet_sign(place), NORMAL) for place in entry.dry))
    if isinstance(entry, Reading):
        return ((entry.sign, ""),)
    if isinstance(entry, Measurement):
        return tuple((sign, "") for sign in answered_by(knowledge, entry))
    return ()
