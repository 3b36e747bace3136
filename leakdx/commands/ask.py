"""``leakdx ask``: the interview in plain lines, for any terminal, a screen reader or a pipe.

What is asked and what an answer means is the business of leakdx.interview; here is only printing and reading.
"""

import os
import shlex
import sys
import textwrap
from argparse import Namespace
from functools import partial
from pathlib import Path

from leakdx.case import Case
from leakdx.clean import clean_line
from leakdx.commands.inputs import knowledge_here, knowledge_source, time_at_hand, ways_here
from leakdx.commands.output import ask_for, say, talk, width
from leakdx.commands.stored import is_file_name, store_of
from leakdx.errors import CaseError, ChangedError, ExitCode, StorageError, TooWideError
from leakdx.explain.reasons import FIT_WORDS
from leakdx.explain.technician import technician_text
from leakdx.explain.words import minutes, not_agreed, sure
from leakdx.interview.question import NO, YES, Question, ReplyError, numbered
from leakdx.interview.session import Interview
from leakdx.interview.understand import typed_number, understand
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.gather import Overruled
from leakdx.store.casefile import CaseFile
from leakdx.store.home import CaseHome

HELP = """\
An answer is a number or a word from the list. Besides:
  ?           unsure: looked, cannot tell        x   can't reach: not looked at
  nf (or n)   not fitted on this truck         ~   behind an answer: fairly sure
  u           take the last answer back (u 3: entry 3)
  w           why this question                  s   what it comes to so far
  did WORD    something was done (did washed)    note WORDS   a remark
  saw WORD    seen or told, and not asked: saw crack line (saw came back: once)
  story WORDS the driver's own words, kept apart from what was seen
  comeback    it came back wet after the joint was closed here (comeback PLACE)
  doubt WORD  a tool or act may have been bad: doubt torque wrench 0.3 (0: good)
  h           this help                          q   stop; everything is saved
Places: the wet ones by number, then dry and the dry ones, or rest dry; arc and
clock positions seen from the pinion: 1 3 arc 5-7 rest dry. What is not named
was not looked at.
Readings: value and unit, with the tool: 0.006 in with feeler 12; the date on its
certificate behind it: 0.006 in with feeler 12 calibrated 2026-01-12."""


class _Stop(Exception):  # noqa: N818 - the wish to stop, not a fault
    """Whoever answers wants to stop, or there are no more lines."""


def run(args: Namespace) -> int:
    """Ask until the repair is clear, or until whoever answers stops."""
    knowledge = knowledge_here(args.knowledge)
    ways, at_hand = ways_here(), time_at_hand(args.minutes)
    bay = ways.bay(args.bay or "")
    home = _home(args, knowledge)
    try:
        who = clean_line(args.who or "") or _initials()
        _Sitting(Interview(knowledge, home, who, bay=bay, ways=ways, at_hand=at_hand)).run()
    except (_Stop, KeyboardInterrupt) as stop:
        store = f" --store {shlex.quote(args.store)}" if args.store and not isinstance(home, CaseFile) else ""
        talk(f"\nSaved in {home.name}; go on with: leakdx ask {shlex.quote(home.name)}{store}")
        if isinstance(stop, KeyboardInterrupt):
            raise
    return ExitCode.OK


def _home(args: Namespace, knowledge: Knowledge) -> CaseHome:
    """The named case; a new file where a file is named that is not there, a new case in the store where nothing is."""
    name: str | None = args.case
    if name is None or not is_file_name(name):
        store, source = store_of(args, make=name is None), partial(knowledge_source, args.knowledge)
        if name is None:
            home = store.begin_home(knowledge, args.id, source)
            say(f"A new case: {home.name}")
            return home
        return _going_on(store.home(store.meant(name), knowledge, source))
    if os.path.exists(name):
        return _going_on(CaseFile.open(Path(name), knowledge))
    return _new(Path(name), knowledge)


def _going_on(home: CaseHome) -> CaseHome:
    talk(f"Going on with {home.name}: {len(home.case.standing)} entries stand.")
    return home


def _new(path: Path, knowledge: Knowledge) -> CaseFile:
    file = CaseFile.create(path, knowledge, Case(id=clean_line(path.stem) or "case", complaint=knowledge.complaint))
    say(f"A new case: {path}")
    return file


def _initials() -> str:
    while True:
        who = _line("Who answers? Initials")
        if who.casefold() == "q":
            raise _Stop
        if who:
            return who


def _line(prompt: str) -> str:
    """One line from standard input, cleaned; _Stop where there are no more."""
    ask_for(prompt)
    line = sys.stdin.readline()
    if not line:
        raise _Stop
    return clean_line(line)


class _Sitting:
    """One sitting at the plain lines."""

    def __init__(self, interview: Interview) -> None:
        self.interview = interview
        self._check_shown = ""
        self._fit_said = ""
        self._not_agreed_said: list[Overruled] = []

    def run(self) -> None:
        """Ask, take, ask again; ends with _Stop."""
        while True:
            question = self.interview.question()
            self._show(question)
            self._until_taken(question)

    def _until_taken(self, question: Question) -> None:
        """Read lines until one has changed the case; what cannot be taken is said, and asked again."""
        while True:
            line = _line("")
            if not line:
                self._show(question)
                continue
            try:
                written = self._wish(line, question)
                if written is None:
                    written = self.interview.take(question, understand(question, line))
            except ReplyError as error:
                say(_folded(f"  {error}."))
                continue
            except ChangedError as error:
                if not sys.stdin.isatty():  # the next line of a file answers the question that was open before
                    raise
                say(_folded(f"  NOT SAVED: {error}"))
                return
            except StorageError as error:
                if not sys.stdin.isatty():  # a script must not go on as if it were saved
                    raise
                say(_folded(f"  NOT SAVED: {line}") + "\n" + _folded(f"  {error}"))
                return
            if written:
                say("\n".join(_folded(f"  saved: {one}") for one in written))
                return

    def _wish(self, line: str, question: Question) -> tuple[str, ...] | None:
        """What the lines that are no answer ask for: () when it was only shown, None when it is an answer."""
        word, _, rest = line.partition(" ")
        match word.casefold():
            case "q" | "quit" if not rest:
                raise _Stop
            case "h" | "help" if not rest:
                say(HELP)
            case "w" | "why" if not rest:
                say(f"  {question.why or 'It is the next thing that is not known.'}")
            case "s" if not rest:
                self._say_all()
            case "u" | "undo" if not rest or typed_number(rest) is not None:
                return self.interview.undo(typed_number(rest))
            case "did" if rest:
                for one in self.interview.stood_before(rest):
                    say(_folded(f"  {one}"))
                return self.interview.did(rest)
            case "comeback":
                return self.interview.came_back(rest)
            case "saw" if rest:
                return self.interview.saw(rest)
            case "doubt" if rest:
                return self.interview.doubt(rest)
            case "note" if rest:
                return self.interview.note(rest)
            case "story" if rest:
                return self.interview.story(rest)
            case _:
                return None
        return ()

    # -- showing -----------------------------------------------------------------------------------------

    def _show(self, question: Question) -> None:
        if question.check:
            self._say_fit()
            self._say_not_agreed()
        if question.kind == "repair":
            self._say_all()
        lines = [""] + [f"HOLD: {hold}" for hold in question.holds]
        if question.check != self._check_shown or question.kind == "act":
            lines += self._head(question)
            self._check_shown = question.check
        lines.append(question.text)
        lines += _options(question)
        hint = _HINTS.get(question.kind, "").format(unit=question.unit)
        say("\n".join(_folded(line) for line in ([*lines, hint] if hint else lines)))

    def _head(self, question: Question) -> list[str]:
        """How the check is made, before its first question."""
        lines = []
        if question.check and question.kind != "act":
            lines += self._so_far(question.check)
            lines.append(f"-- {self.interview.knowledge.name(question.check)} ({minutes(question.minutes or (0, 0))})")
        if question.kind == "act" and question.minutes:
            lines.append(f"-- {minutes(question.minutes)}")
        if question.needs:
            lines.append(f"   needs: {', '.join(question.needs)}")
        if question.tools:
            lines.append(f"   tools: {', '.join(question.tools)}")
        lines += [f"   CAUTION: {caution}" for caution in question.cautions]
        lines += [f"   - {step}" for step in question.how]
        return lines

    def _so_far(self, check: str) -> list[str]:
        """What is most likely, once the opening questions are through."""
        if self.interview.knowledge.checks[check].ask_order is not None:
            return []
        leader = self.interview.diagnosis.causes[0]
        return [f"So far most likely: {leader.name} - {sure(leader.leaking_first)}"]

    def _say_fit(self) -> None:
        """Fit to drive, whenever it has changed: safety before any question."""
        fit = self.interview.diagnosis.fit_to_drive
        said = f"{FIT_WORDS[fit.answer].upper()}: {fit.reason}"
        if said != self._fit_said and fit.answer != "not_judged":
            say("\n" + _folded(said))
        self._fit_said = said

    def _say_not_agreed(self) -> None:
        """What was seen to be otherwise than told, once, with the way to take the wrong entry back."""
        for one in self.interview.diagnosis.overruled:
            if one not in self._not_agreed_said:
                back = f" u {one.entry} takes that entry back." if one.entry else ""
                say("\n" + _folded(f"NOT AGREED: {not_agreed(self.interview.knowledge, one)}.{back}"))
                self._not_agreed_said.append(one)

    def _keep_shown(self) -> None:
        """What is about to be shown is kept with the case; where that cannot be, showing it is worth more."""
        try:
            self.interview.home.shown(self.interview.diagnosis)
        except StorageError as error:
            talk(f"This diagnosis is not kept in the store: {error}")

    def _say_all(self) -> None:
        try:
            diagnosis = self.interview.diagnosis
            self._keep_shown()
            say("\n" + technician_text(diagnosis.knowledge, diagnosis.case, diagnosis, width()))
        except (CaseError, TooWideError) as error:
            say(f"  {error}")


def _options(question: Question) -> list[str]:
    """The answers by number; yes and no on one line."""
    shown = [f"  {number}  {option.name}" for number, option in numbered(question.options).items()]
    return ["".join(shown)] if len(shown) == len((YES, NO)) and question.options[0].id == YES else shown


def _folded(line: str) -> str:
    """A line within the width, its further lines set in a little more than its first."""
    indent = " " * (len(line) - len(line.lstrip()) + 2)
    return textwrap.fill(line, width(), subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


_HINTS = {
    "text": "In a few words, or ? for not known; h for help at any time.",
    "places": "Wet ones by number, then dry ones: 1 3 arc 5-7 rest dry (or rest ?). Not named means not looked at.",
    "reading": "Value and unit, such as 0.006 {unit}.",
    "act": "y or n.",
    "repair": "Numbers when done; q to stop.",
    "end": "u takes the last answer back, did WORD and note WORDS add to it, q stops.",
}
