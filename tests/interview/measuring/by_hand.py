"""A measurement as a hand types it: a line and what is typed there, one after the other."""

from collections.abc import Sequence

from leakdx.case import Case, LogEntry
from leakdx.interview.measuring.form import Form
from leakdx.interview.measuring.line import System
from leakdx.interview.measuring.offer import form_of, offered
from leakdx.store.settings import Ways
from tests.shipped import knowledge

ROUND_THE_CLOCK = ("12", "1:30", "3", "4:30", "6", "7:30", "9", "10:30")


def case(*log: LogEntry, axle: str | None = "onyx_single") -> Case:
    return Case(id="T-1", complaint=knowledge().complaint, axle=axle, log=log)


def form(key: str, of: Case) -> Form:
    """The form of what is offered under a key."""
    (offer,) = (offer for offer in offered(knowledge(), of) if offer.key == key)
    return form_of(knowledge(), of, offer)


def typed(
    form: Form, rows: Sequence[tuple[str, str]], system: System = "inch", ways: Ways | None = None
) -> dict[str, str]:
    """What stands there once each text was typed on its line."""
    kept = form.begun()
    for name, text in rows:
        (line,) = (line for line in form.lines(kept) if line.name == name)
        kept = dict(form.put(kept, line, text, system, ways or Ways()))
    return kept
