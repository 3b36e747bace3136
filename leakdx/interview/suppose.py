"""A case with answers that are only tried: the same words as at the prompt, and nothing is written down."""

from collections.abc import Callable, Iterable
from datetime import datetime

from leakdx.case import Case
from leakdx.errors import CaseError, UsageError
from leakdx.interview.question import ReplyError
from leakdx.interview.readback import read_back
from leakdx.interview.session import Interview
from leakdx.interview.understand import typed_number
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.walk import NOBODY
from leakdx.store.home import Unkept
from leakdx.store.settings import Ways

_DID, _WITHOUT = "did ", "without "


def supposed(
    knowledge: Knowledge,
    case: Case,
    lines: Iterable[str],
    ways: Ways | None = None,
    now: Callable[[], datetime] = datetime.now,
) -> tuple[Case, tuple[str, ...]]:
    """The case with every line tried, in order, and what was tried, in words.

    A line is what would be typed after ``saw`` ("breather does not flow: yes"), "did ACT", or "without ENTRY".

    Raises:
        UsageError: A line means nothing, or can't be so of this truck.
    """
    interview = Interview(knowledge, Unkept(case), NOBODY, now, ways=ways)
    for line in lines:
        try:
            _try(interview, line.strip())
        except (ReplyError, CaseError) as error:
            raise UsageError(f"'{line.strip()[:60]}' can't be tried: {error}") from error
    tried = interview.case.log[len(case.log) :]
    return interview.case, tuple(read_back(knowledge, entry) for entry in tried)


def _try(interview: Interview, line: str) -> None:
    word = line.casefold()
    if word.startswith(_DID):
        interview.did(line[len(_DID) :].strip())
    elif word.startswith(_WITHOUT):
        number = typed_number(line[len(_WITHOUT) :].strip().removeprefix("entry").strip())
        if number is None:
            raise ReplyError("say which entry by its number, such as without 7")
        interview.undo(number)
    else:
        interview.saw(line)
