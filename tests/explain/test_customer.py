"""The customer's text: three sentences and what comes next, in plain words, claiming no more than is known."""

import re

import pytest
from msgspec.structs import replace

from leakdx.case import Case, Observation
from leakdx.explain.customer import customer_text
from leakdx.explain.plain import plain_words
from leakdx.interview.repairing import Repairing
from leakdx.interview.session import Interview
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.home import Unkept
from tests.hostile import hostile
from tests.shipped import NAMES, diagnosis, flat, knowledge, parts, stopped

TRADE = (
    "carrier", "pinion", "breather", "yoke", "dowel", "dowels", "bead", "torque", "residual", "flange", "fretted",
    "fretting", "fastener", "fasteners", "feeler", "penetrant", "stud", "studs", "face", "faces", "linings or drum",
    "casting", "wicking", "retorque", "zone", "posterior", "prior", "decibans", "dB", "probability", "epoch", "arc",
    "clock position", "tapered", "deciban", "rule",
)  # fmt: skip
BLAME = ("fault", "careless", "mistake", "wrongly", "botched", "bad work", "forgot", "should have")
CERTAIN = ("certainly", "definitely", "100 %", "10 in 10", "guarantee", "proved", "for sure", "nearly certain")


def trade_words(text: str, words: tuple[str, ...] = TRADE) -> list[str]:
    """Those of the words that stand in a text."""
    return [word for word in words if re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text, re.IGNORECASE)]


def text_of(name: str, width: int = 80) -> str:
    return customer_text(*parts(name), width)


@pytest.mark.parametrize("name", NAMES)
def test_no_word_of_the_trade_no_blame_and_no_certainty(name: str) -> None:
    made = flat(text_of(name)).split("====")[-1]
    assert trade_words(made, (*TRADE, *BLAME, *CERTAIN)) == []


def test_it_reads_as_easily_as_the_style_says() -> None:
    """By two published formulas that need no table of syllables: Coleman and Liau 1975; Smith and Senter 1967."""
    import textstat  # takes seconds, which every worker would wait for

    texts = [text_of(name).split("=" * 80)[1].replace("\n", " ") for name in NAMES]
    letters, characters = (
        [float(formula(text)) for text in texts]
        for formula in (textstat.coleman_liau_index, textstat.automated_readability_index)
    )
    assert max(letters) <= 6
    assert max(characters) <= 10
    assert sum(characters) / len(characters) <= 7.5


@pytest.mark.parametrize("name", NAMES)
def test_no_word_of_the_knowledges_own_table_is_left(name: str) -> None:
    made = flat(text_of(name))
    table = {
        trade: plain for trade, plain in knowledge().words.plain.items() if trade.casefold() not in plain.casefold()
    }
    assert [trade for trade in table if re.search(rf"(?<!\w){re.escape(trade)}(?!\w)", made, re.IGNORECASE)] == []


def test_the_plain_words_need_no_translating_themselves() -> None:
    assert {plain for plain in knowledge().words.plain.values() if trade_words(plain)} == set()


def test_whatever_a_customer_may_be_told_is_told_in_plain_words() -> None:
    """Not only what the shipped cases happen to say: every text of the knowledge that the customer's text draws on."""
    known = knowledge()
    named = (known.signs, known.checks, known.zones, known.places, known.openings)
    texts = [entry.name for kind in named for entry in kind.values()]
    texts += [result.name for sign in known.signs.values() for result in sign.results.values()]
    texts += [text for r in known.repairs.values() for text in (r.plain, r.proof, r.recheck)]
    texts += [cause.plain for cause in known.causes.values()]
    texts += [said.say for rule in known.rules.values() for said in rule.then if said.fit and said.say]
    plain = {text: plain_words(known.words.plain, text) for text in texts}
    assert {text: said for text, said in plain.items() if trade_words(said)} == {}


@pytest.mark.parametrize("name", NAMES)
def test_the_three_sentences_and_what_comes_next(name: str) -> None:
    made = flat(text_of(name))
    marks = ["What was seen:", "What it likely is:", "What is not known yet:", "What we recommend next:"]
    places = [made.index(mark) for mark in marks]
    assert places == sorted(places)
    assert re.search(r"\d in 10", made)
    assert max(map(len, text_of(name, 60).splitlines())) <= 60


@pytest.mark.parametrize("name", NAMES)
def test_fit_to_drive_comes_first(name: str) -> None:
    body = text_of(name).split("=" * 80)[1].strip()
    words = {
        "no": "PLEASE DO NOT DRIVE IT",
        "recheck": "It may be driven, and has",
        "yes": "It may be driven:",
        "not_judged": "Whether the truck",
    }
    assert body.startswith(words[diagnosis(name).answers.fit_to_drive.answer])


def test_what_rules_demand_is_told_whatever_comes_next() -> None:
    low = Observation(number=1, who="AB", sign="level_low", answer="yes")
    case = Case(id="LOW", complaint=knowledge().complaint, log=(low,))
    made = flat(customer_text(knowledge(), case, diagnose(knowledge(), case)))
    assert "What is done in any case: The axle ran short of oil" in made
    assert made.index("What we recommend next: One more look") < made.index("What is done in any case:")


@pytest.mark.parametrize("name", NAMES)
def test_what_the_repair_has_said_is_not_said_again(name: str) -> None:
    answers, made = diagnosis(name).answers, flat(text_of(name))
    for one in answers.required:
        assert made.count(flat(plain_words(knowledge().words.plain, knowledge().repairs[one.id].plain))) <= 1


@pytest.mark.parametrize("name", NAMES)
def test_time_cost_and_authority(name: str) -> None:
    made, decision = flat(text_of(name)), diagnosis(name).answers.decision.do
    if decision == "look_further" and "One question" not in made:
        limit = re.search(r"authority to check up to ([\d.]+) (minutes|hours) before we call you", made)
        check = diagnosis(name).answers.next_check
        assert limit
        assert check
        unit, step = (1, 5) if limit[2] == "minutes" else (60, 30)
        assert check.minutes[1] <= float(limit[1]) * unit < check.minutes[1] + step
        assert "USD" in made
    if decision == "repair":
        assert re.search(r"hours? of work|minutes of work", made)
        assert re.search(r"about [\d,]+( to [\d,]+)? USD for labour and parts", made)
        assert "That it stays dry after that:" in made
        assert "What we check after:" in made


def test_the_price_is_labour_and_parts_and_not_the_trucks_own_time() -> None:
    path, shop = diagnosis("01").answers.repairs[0], diagnosis("01").shop
    parts_cost = sum(knowledge().repairs[action].parts for action in path.actions)
    low = round((path.minutes[0] / 60 * shop.labour_rate + parts_cost) / 10) * 10
    assert f"about {low:,.0f} to" in flat(text_of("01"))


def test_what_was_told_is_not_said_to_have_been_seen() -> None:
    seen = flat(text_of("02")).split("What it likely is")[0]
    assert "within the last 3 months" not in seen
    assert "remains of older sealant under the present one" in seen


def test_a_case_without_a_leader_names_no_single_cause() -> None:
    made = flat(text_of("08"))
    assert "Not clear yet. These come to mind first:" in made
    assert "which of these it is" in made.lower()


def test_stop_and_ask_says_that_the_maker_is_asked() -> None:
    made = flat(customer_text(*stopped()))
    assert "We stop here and ask the axle's maker before going on." in made
    assert "whether it is something that we have not met before (about 3 in 10)" in made
    assert "What we check after" not in made


def test_hostile_text_does_no_harm() -> None:
    case = hostile(diagnosis("01").case)
    made = customer_text(knowledge(), case, diagnose(knowledge(), case))
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e]", made)


def test_a_knowledge_without_plain_words_and_without_rules_still_speaks() -> None:
    bare = replace(knowledge(), rules={}, words=replace(knowledge().words, plain={}), hash="")
    case = diagnosis("08").case
    made = customer_text(bare, case, diagnose(bare, case))
    assert "Whether the truck may be driven has not been decided yet." in made


@pytest.mark.parametrize("name", NAMES)
def test_a_question_is_asked_and_not_billed(name: str) -> None:
    check = diagnosis(name).answers.next_check
    told = check is not None and knowledge().checks[check.id].reveals[0] in knowledge().history
    is_next = diagnosis(name).answers.decision.do == "look_further"
    assert ("One question before anything is repaired: " in flat(text_of(name))) is (told and is_next)
    assert not (told and is_next and "authority" in text_of(name))


def worked(name: str, steps: int | None = None) -> Repairing:
    """A shipped case whose first path was decided on, and so many of its steps done and signed; None: all of them."""
    interview = Interview(knowledge(), Unkept(diagnosis(name).case), "AB")
    repairing = Repairing(interview)
    repairing.decide(next(p.actions for p in diagnosis(name).repairs if p.actions), "the cheapest")
    done = 0
    while (course := repairing.course()) and course.next and done != steps:
        repairing.tick(course.next.number)
        if course.next.step.hold:
            repairing.sign(course.next.number, "AB")
        done += 1
    return repairing


def told(repairing: Repairing) -> str:
    made = repairing.case
    return flat(customer_text(knowledge(), made, diagnose(knowledge(), made)))


def test_while_it_is_worked_nothing_is_asked_before_anything_is_repaired() -> None:
    made = told(worked("01", steps=1))
    assert "What is being done: The seal at the drive shaft's end of the axle is renewed." in made
    assert re.search(r"1 of \d+ steps are done", made)
    assert "We finish this and look whether it holds." in made
    assert "before anything is repaired" not in made


def test_what_was_done_is_told_with_what_was_found_since() -> None:
    repairing = worked("01")
    before = told(repairing)
    assert "What was done: The seal at the drive shaft's end of the axle is renewed." in before
    assert "It has not been looked at again yet." in before
    assert "What we check after: " in before
    repairing.recheck("dry", "after 20 miles")
    after = told(repairing)
    assert "Looked at again: dry (after 20 miles)." in after
    assert re.search(r"Nothing more is repaired now; we look at the same places again by \d{4}-\d\d-\d\d\.", after)
    assert "before anything is repaired" not in before + after


def test_found_wet_again_it_is_looked_into_and_nothing_is_said_to_be_over() -> None:
    repairing = worked("01")
    repairing.recheck("wet", "after 20 miles")
    made = told(repairing)
    assert "Looked at again: wet (after 20 miles)." in made
    assert "Nothing more is repaired now" not in made
    assert "before anything is repaired" not in made
