"""What a service writer can say to a customer: what was seen, what it likely is, what is not known, what comes next.

Plain words, no certainty that the evidence lacks, no blame. Each sentence stands on something in the answer.
"""

from functools import cached_property

from leakdx.case import Case, Record
from leakdx.explain.course import Course, course_of, last_recheck, repairs_done
from leakdx.explain.options import billed, done_in_plain
from leakdx.explain.page import USUAL, Page
from leakdx.explain.plain import plain_words
from leakdx.explain.spoken import spoken_cost, spoken_hours, spoken_limit, spoken_time
from leakdx.explain.words import FAINT, answer_name, capital, counted, is_over, listed, sure_word, tenths
from leakdx.explain.work import recheck_by
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.answer import CauseBelief, ObservationWeight, RepairPath
from leakdx.reasoning.diagnosis import Diagnosis

SEEN_SHOWN = 2
OTHERS_SHOWN = 2
OTHERS_FROM = 0.05
SECOND_FROM = 0.5
"""A second cause more likely than not is named beside the first."""

_MAY_BE_DRIVEN = {
    "no": "PLEASE DO NOT DRIVE IT",
    "recheck": "It may be driven, and has to be looked at again",
    "yes": "It may be driven",
}


def customer_text(knowledge: Knowledge, case: Case, diagnosis: Diagnosis, width: int = USUAL) -> str:
    """The customer's text as plain lines, none wider than ``width``."""
    page = Page(width)
    page.title(" - ".join(part for part in (case.unit or case.id, case.unit and case.id) if part))
    page.say(": ".join(may_be_driven(knowledge, diagnosis)), indent=0)
    page.blank()
    for label, said in customer_sections(knowledge, diagnosis):
        page.say(f"{label}: {said}", indent=0)
        page.blank()
    return page.text()


def may_be_driven(knowledge: Knowledge, diagnosis: Diagnosis) -> tuple[str, ...]:
    """Whether the truck may be driven, and why; the latter only where it has been decided."""
    return _Voice(knowledge, diagnosis).fit()


def customer_sections(knowledge: Knowledge, diagnosis: Diagnosis) -> tuple[tuple[str, str], ...]:
    """What is said under each label, in order; a label under which there is nothing to say is left out."""
    voice = _Voice(knowledge, diagnosis)
    said = (
        ("What was seen", voice.seen()),
        ("What it likely is", voice.likely()),
        ("What is not known yet", voice.unknown()),
        *voice.work(),
        ("What we recommend next", voice.next_step()),
        ("What is done in any case", voice.in_any_case()),
        ("What we check after", voice.afterwards()),
    )
    return tuple((label, text) for label, text in said if text)


def repair_is_settled(diagnosis: Diagnosis) -> bool:
    """Whether the work is agreed and on its way, or done and not found wet since: nothing is left to choose."""
    course = course_of(diagnosis.knowledge, diagnosis.case)
    return course is not None and course.is_settled


class _Voice:
    """The sentences, one method each."""

    def __init__(self, knowledge: Knowledge, diagnosis: Diagnosis) -> None:
        self._knowledge = knowledge
        self._diagnosis = diagnosis
        self._answers = diagnosis.answers

    def _plain(self, text: str) -> str:
        return plain_words(self._knowledge.words.plain, text)

    def _name(self, id: str) -> str:
        return self._plain(self._knowledge.name(id))

    def fit(self) -> tuple[str, ...]:
        """Fit to drive, and why."""
        fit = self._answers.fit_to_drive
        if fit.answer == "not_judged":
            return ("Whether the truck may be driven has not been decided yet.",)
        return _MAY_BE_DRIVEN[fit.answer], _lower(self._plain(fit.reason))

    # -- seen --------------------------------------------------------------------------------------------

    def seen(self) -> str:
        """The complaint, and what was seen that speaks most for the leader."""
        came = f"The truck came in wet at the {self._name(self._diagnosis.timeline.complaint)}"
        leader = self._answers.causes[0].id
        found = [o for o in self._answers.observations if self._was_found(o) and o.decibans.get(leader, 0.0) >= FAINT]
        found.sort(key=lambda o: -o.decibans[leader])
        said = [self._finding(o) for o in found[:SEEN_SHOWN]]
        return f"{came}. In the shop we found this: {'; '.join(said)}." if said else f"{came}."

    def _was_found(self, seen: ObservationWeight) -> bool:
        """Something that was there, not something told, and not something that was not there."""
        sign = self._knowledge.signs.get(seen.id)
        return sign is not None and seen.answer != sign.outcomes[0]

    def _finding(self, seen: ObservationWeight) -> str:
        sign = self._knowledge.signs[seen.id]
        if sign.measure or sign.results:
            return self._plain(f"{seen.name}: {answer_name(self._knowledge, seen.id, seen.answer)}")
        return self._plain(seen.name)

    # -- likely ------------------------------------------------------------------------------------------

    def likely(self) -> str:
        """The leader with its chance where it is clear; otherwise the place, or the few that it lies between."""
        answers = self._answers
        leader = answers.causes[0]
        if answers.clear_at.level == "cause":
            said = self._leader(leader)
            second = answers.causes[1]
            if second.leaking_first > SECOND_FROM:
                said += f" {self._besides(second)}"
            return said
        if answers.clear_at.level == "zone" and answers.clear_at.name:
            sure = _lower(_how_sure(answers.clear_at.probability or 0.0))
            place = self._plain(answers.clear_at.name)
            return f"It comes, {sure}, from the {place}; the reason is still open. {self._among()}"
        return self._among()

    def _leader(self, leader: CauseBelief) -> str:
        """The leader; what was put right since must not read as if it were still so."""
        if is_over(leader) and self._was_active(leader):
            how_sure = _lower(_how_sure(leader.leaking_first))
            return f"When it came in it was this, {how_sure}, and that is over by now: {self._cause(leader)}."
        return f"{_how_sure(leader.leaking_first)}: {self._cause(leader)}."

    def _was_active(self, cause: CauseBelief) -> bool:
        """Whether it let oil out at all: an old spill is not over, it is what is seen."""
        entry = self._knowledge.causes.get(cause.id)
        return entry is None or self._knowledge.zones[entry.zone].active

    def _besides(self, second: CauseBelief) -> str:
        """The second cause; what was put right since must not read as if it were still so."""
        if is_over(second):
            how_sure = tenths(second.leaking_first)
            return f"When it came in it had this too, and that is over by now ({how_sure}): {self._cause(second)}."
        return f"Besides, {_lower(_how_sure(second.leaking_first))}: {self._cause(second)}."

    def _among(self) -> str:
        named = {cause.id: cause for cause in self._answers.causes}
        between = [named[id] for id in self._answers.undecided_between][: SEEN_SHOWN + 1]
        few = len(self._answers.undecided_between) <= len(between)
        reasons = "; ".join(f"{self._cause(cause)} ({tenths(cause.leaking_first)})" for cause in between)
        return f"{'One of these' if few else 'Not clear yet. These come to mind first'}: {reasons}."

    def _cause(self, cause: CauseBelief) -> str:
        """A cause in its plain words, as the middle of a sentence."""
        if cause.id == NOT_LISTED:
            return self._plain(self._knowledge.words.not_listed.name)
        return _lower(self._plain(self._knowledge.causes[cause.id].plain).rstrip("."))

    # -- not known ---------------------------------------------------------------------------------------

    def unknown(self) -> str:
        """What else it could be, what could not be seen, and whether there is more behind it."""
        answers = self._answers
        said = []
        if not answers.undecided_between:
            others = [c for c in answers.causes[1:] if OTHERS_FROM <= c.leaking_first <= SECOND_FROM][:OTHERS_SHOWN]
            said += [f"whether {self._cause(c)} ({tenths(c.leaking_first)})" for c in others if c.id != NOT_LISTED]
        else:
            said.append("which of these it is")
        if answers.could_be_none_of_these.warn:
            chance = tenths(answers.could_be_none_of_these.probability)
            said.append(f"whether it is something that we have not met before ({chance})")
        unseen = self._diagnosis.timeline.out_of_reach
        looks = [self._name(id) for id, check in self._knowledge.checks.items() if not unseen.isdisjoint(check.reveals)]
        if looks:
            said.append(f"what could not be reached ({'; '.join(looks[:OTHERS_SHOWN])})")
        more = 1 - sum(s.probability for s in answers.sets if len(s.causes) <= self._named())
        said.append(f"whether there is more behind it ({tenths(more)})")
        return f"{capital('; '.join(said))}."

    def _named(self) -> int:
        """How many causes at once have been named as likely."""
        return 1 + (self._answers.clear_at.level == "cause" and self._answers.causes[1].leaking_first > SECOND_FROM)

    # -- the work ----------------------------------------------------------------------------------------

    @cached_property
    def _course(self) -> Course | None:
        return course_of(self._knowledge, self._diagnosis.case)

    @cached_property
    def _done(self) -> tuple[str, ...]:
        return repairs_done(self._knowledge, self._diagnosis.case)

    def work(self) -> tuple[tuple[str, str], ...]:
        """What is being done, or was done and how it was found since."""
        course = self._course
        if course is not None and course.is_under_way:
            steps = f"{len(course.steps) - len(course.left)} of {counted(len(course.steps), 'step')}"
            return (("What is being done", f"{done_in_plain(self._knowledge, course.actions)} {steps} are done."),)
        found = last_recheck(self._diagnosis.case)
        looked = "It has not been looked at again yet." if found is None else f"Looked at again: {self._found(found)}."
        return (("What was done", f"{done_in_plain(self._knowledge, self._done)} {looked}"),) if self._done else ()

    def _found(self, looked: Record) -> str:
        return f"{looked.text} ({self._plain(looked.note)})" if looked.note else looked.text

    # -- next --------------------------------------------------------------------------------------------

    def next_step(self) -> str:
        """A check, a repair, a release or a question to the maker; with its time and its cost.

        While a repair is on its way it is finished; once it is over it is looked at again.
        """
        decision, course = self._answers.decision, self._course
        if course is not None and course.is_under_way:
            return "We finish this and look whether it holds. We call you before we go beyond it."
        if course is not None and course.afterwards:
            by = f" {recheck_by(self._diagnosis)}" if course.rechecks else " before it goes to work"
            return f"Nothing more is repaired now; we look at the same places again{by}."
        if decision.do == "stop_and_ask":
            asks = [r.plain for r in self._knowledge.repairs.values() if r.asks_maker]
            return self._plain(asks[0] if asks else decision.reason)
        if decision.do == "release_and_recheck":
            return f"Nothing is repaired now; we look at the same places again {recheck_by(self._diagnosis)}."
        if decision.do == "look_further":
            return self._check()
        return self._repair(self._answers.repairs[0])

    def in_any_case(self) -> str:
        """What rules demand whatever is found, unless the recommended repair has said it."""
        answers = self._answers
        said = answers.repairs[0].actions if answers.decision.do == "repair" and answers.repairs else ()
        due = (self._knowledge.repairs[one.id].plain for one in answers.required if one.id not in said)
        return self._plain(" ".join(due))

    def _check(self) -> str:
        """The next check, and how far the customer's word lets us go before we call."""
        check = self._answers.next_check
        if check is None:
            return ""
        asked = self._knowledge.history.get(self._knowledge.checks[check.id].reveals[0])
        if asked is not None:  # told, not looked at, so nothing is billed
            return f"One question{self._before_repair}: {self._plain(asked.question)}"
        limit = spoken_limit(check.minutes[1])
        opened = listed(self._plain(self._knowledge.openings[o].name) for o in check.opens)
        first = "For that look the truck has to be as follows, and the time for it is counted"
        before = f" {first}: {opened}." if opened else ""
        cost = spoken_cost(self._diagnosis.shop, check.minutes, 0.0)
        wait = sum(self._knowledge.openings[o].elapsed_hours for o in check.opens)
        waiting = f", with {spoken_hours((wait, wait))} of waiting," if wait else ""
        return (
            f"One more look{self._before_repair}: {self._plain(check.name)}. It takes "
            f"{spoken_time(check.minutes)}{waiting} and costs {cost}.{before} We ask for your authority to check up to "
            f"{limit} before we call you."
        )

    @property
    def _before_repair(self) -> str:
        return "" if self._done else " before anything is repaired"

    def _repair(self, path: RepairPath) -> str:
        """The recommended path: what, for how long, for how much, and how likely it holds."""
        what, cost = done_in_plain(self._knowledge, path.actions), billed(self._diagnosis, path)
        waiting = f", then {spoken_hours(path.elapsed)} of waiting" if path.elapsed[1] else ""
        check = self._answers.next_check
        before = f" Before that we look at one thing and write it down: {self._plain(check.name)}." if check else ""
        left = [self._cause(c) for c in self._answers.causes if c.id in path.leaves]
        leaves = f" It does not take care of this: {'; '.join(left[:OTHERS_SHOWN])}." if left else ""
        holds = f"That it stays dry after that: {tenths(path.p_hold)}."
        return (
            f"{what} That is {spoken_time(path.minutes)} of work{waiting}, and {cost} for labour "
            f"and parts. {holds}{leaves}{before} We call you before we go beyond this."
        )

    def afterwards(self) -> str:
        """How the repair is proved and looked at again."""
        answers, course = self._answers, self._course
        if course is not None and course.is_settled:
            actions = () if course.rechecks else course.actions
        else:
            actions = answers.repairs[0].actions if answers.decision.do == "repair" and answers.repairs else ()
        if not actions:
            return ""
        repairs = [self._knowledge.repairs[action] for action in actions]
        main = next((r for r in repairs if r.closes), repairs[0])
        return f"{self._plain(main.proof)} Then again: {_lower(self._plain(main.recheck))}"


def _how_sure(chance: float) -> str:
    """Word and number; nothing is more than very likely to a customer."""
    return f"{capital(sure_word(min(chance, 0.9)))} ({tenths(chance)})"


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
