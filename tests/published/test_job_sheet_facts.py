"""What stands on the job sheet: facts of the trade in their step, holds in order, safety where it is needed.

Facts are common practice without a source; safety names its regulation where there is one.
"""

from collections.abc import Iterable
from typing import Literal, NamedTuple

import pytest

from leakdx.knowledge.actions import Phase, Repair
from leakdx.knowledge.files import shipped_folder
from leakdx.knowledge.loader import load_knowledge
from leakdx.reasoning.repair import opening_closure

SHIPPED = load_knowledge([shipped_folder()])

Where = Phase | Literal["hold", "never", "parts", "tools"]


class SheetFact(NamedTuple):
    """``phrases`` stand together in one step of a phase, one hold, one never, or one thing to have ready."""

    says: str
    repair: str
    where: Where
    phrases: tuple[str, ...]


GASKET_JOB, SEALANT_JOB = "reseal_with_gasket", "reseal_with_sealant"
SHEET = [
    SheetFact("non-abrasive disc", GASKET_JOB, "clean", ("non-woven, non-abrasive disc", "No abrasive disc")),
    SheetFact("no abrasive disc, ever", GASKET_JOB, "never", ("abrasive disc",)),
    SheetFact("solvent, air-dried", GASKET_JOB, "ready", ("leaves nothing behind", "air-dry", "white cloth")),
    SheetFact(
        "straight edge and feeler, both faces, ask the maker",
        GASKET_JOB,
        "ready",
        ("straight edge", "0.005 in feeler", "housing face", "carrier face", "Exactly 0.005 in passes", "axle maker"),
    ),
    SheetFact("never a gasket on a bad face", GASKET_JOB, "never", ("more than 0.005 in",)),
    SheetFact("it goes on whole", GASKET_JOB, "ready", ("never cut", "never pieced", "never patched with sealant")),
    SheetFact("torn or creased: a new one", GASKET_JOB, "ready", ("Torn or creased means a new one",)),
    SheetFact("never cut, pieced or patched", GASKET_JOB, "never", ("cut, piece or patch",)),
    SheetFact("no sealant of any kind on it", GASKET_JOB, "never", ("sealant of any kind on a gasket",)),
    SheetFact(
        "tack spray on one side and the housing face only",
        GASKET_JOB,
        "close",
        ("one side of the gasket", "housing face only", "become tacky"),
    ),
    SheetFact(
        "two smooth guide studs fully home near 3 and 9",
        GASKET_JOB,
        "close",
        ("two guide studs", "5/8-11, 12 or 14 in", "smooth in the shank", "fully home", "near 3 and 9"),
    ),
    SheetFact("threaded rod bends", GASKET_JOB, "close", ("Not threaded rod", "the carrier hangs on its threads")),
    SheetFact("short studs tear the gasket", GASKET_JOB, "close", ("Not short studs", "tears it")),
    SheetFact("guide studs are in the bay", GASKET_JOB, "tools", ("two guide studs 5/8-11, 12 or 14 in, smooth",)),
    SheetFact(
        "dowel places first, criss-cross, 225 lb-ft, every one again",
        GASKET_JOB,
        "tighten",
        ("Dowel places first", "then the rest, criss-cross", "225 lb-ft", "check every one again"),
    ),
    SheetFact("filled at once", GASKET_JOB, "fill", ("Fill at once", "nothing to cure")),
    SheetFact("driven, looked at, topped off", GASKET_JOB, "prove", ("drive", "come back, look, top off")),
    SheetFact("a gasket hurt at fitting", GASKET_JOB, "hold", ("loses the oil fast", "can cost the carrier")),
    SheetFact("bottoming tap through every hole", "new_fasteners", "clean", ("tap, 5/8-11", "every housing hole")),
    SheetFact("blown out with air", "new_fasteners", "clean", ("Blow every hole out with air",)),
    SheetFact("new fasteners with dry adhesive", "new_fasteners", "parts", ("dry thread adhesive", "renew always")),
    SheetFact("never a used fastener", "new_fasteners", "never", ("used fastener",)),
    SheetFact("with the carrier, not before", "new_fasteners", "tighten", ("until the carrier is up", "by hand first")),
    SheetFact("dowels back where they were", "fit_tapered_dowels", "ready", ("back where it was", "there were none")),
    SheetFact("dowels before the ring", "fit_tapered_dowels", "tighten", ("carrier is seated", "torqued first")),
    SheetFact("sealant only where no gasket is", SEALANT_JOB, "never", ("only where there is none",)),
    SheetFact("no welding near it", SEALANT_JOB, "never", ("welding near the closed joint",)),
    SheetFact("cured sealant is not tightened", SEALANT_JOB, "never", ("tighten a cured sealant joint again",)),
    SheetFact("full-cure time before load", SEALANT_JOB, "fill", ("before the label's fill time", "no load before")),
    SheetFact("a crack is not welded shut", "replace_cracked_part", "never", ("weld a cracked or porous casting",)),
    SheetFact("the maker before the part is opened", "replace_cracked_part", "evidence", ("Call the axle maker",)),
    SheetFact("the maker before a face is worked", "restore_housing_face", "never", ("before the axle maker",)),
    SheetFact("the maker before a face is worked", "restore_carrier_face", "never", ("before the axle maker",)),
    SheetFact("the maker before a bore is worked", "restore_bores_and_threads", "hold", ("the axle maker has said",)),
]  # fmt: skip

HOLDS: list[tuple[str, Phase, str]] = [
    (GASKET_JOB, "ready", "white cloth comes away clean from both faces"),
    (GASKET_JOB, "ready", "Both faces measured"),
    (GASKET_JOB, "close", "on the studs, the gasket was looked at all the way round"),
    (GASKET_JOB, "close", "before it seats the gasket was looked at again"),
    (GASKET_JOB, "tighten", "As-left torque written down for every fastener"),
    (SEALANT_JOB, "ready", "Both faces measured"),
    (SEALANT_JOB, "ready", "white cloth comes away clean from both faces"),
    (SEALANT_JOB, "close", "Bead closed at __:__"),
    (SEALANT_JOB, "close", "Carrier seated at __:__"),
    (SEALANT_JOB, "tighten", "As-left torque written down for every fastener"),
    (SEALANT_JOB, "fill", "Earliest fill time __:__ and earliest load time __:__"),
    ("fit_tapered_dowels", "tighten", "Every dowel seated before the rest is torqued"),
    ("new_fasteners", "open", "head marks written down"),
    ("new_fasteners", "clean", "by hand over its whole depth"),
]
"""Hold points in the order of each repair: what someone looks at and signs before going on."""


def _said(repair: Repair, where: Where) -> Iterable[str]:
    if where == "hold":
        return [step.hold for step in repair.steps if step.hold]
    kept = {"never": repair.never, "parts": repair.needs_parts, "tools": repair.tools}
    return kept.get(where, [step.do for step in repair.steps if step.phase == where])


@pytest.mark.parametrize("fact", SHEET, ids=lambda fact: f"{fact.repair}: {fact.says}")
def test_the_sheet_says_the_fact_where_it_is_needed(fact: SheetFact) -> None:
    places = _said(SHIPPED.repairs[fact.repair], fact.where)
    assert [place for place in places if all(phrase in place for phrase in fact.phrases)] != []


@pytest.mark.parametrize("repair", dict.fromkeys(repair for repair, _, _ in HOLDS))
def test_holds_stand_in_their_phase_and_in_this_order(repair: str) -> None:
    wanted = [(phase, phrase) for of, phase, phrase in HOLDS if of == repair]
    holds = iter([(step.phase, step.hold) for step in SHIPPED.repairs[repair].steps if step.hold])
    for phase, phrase in wanted:
        assert any(at == phase and phrase in hold for at, hold in holds), phrase


def test_the_gasket_is_looked_at_twice_between_the_studs_and_the_first_fastener() -> None:
    steps = SHIPPED.repairs[GASKET_JOB].steps
    looks = [n for n, step in enumerate(steps) if step.hold and "gasket was looked at" in step.hold]
    first_fastener = next(n for n, step in enumerate(steps) if step.phase == "tighten")
    assert looks == [first_fastener - 2, first_fastener - 1]


class SafetyFact(NamedTuple):
    """A caution with its source, what its text must say, and a word: every step that says it carries the caution."""

    caution: str
    mark: str
    phrases: tuple[str, ...]
    steps_that_say: tuple[str, ...] = ()
    openings: tuple[str, ...] = ()


SAFETY = [
    SafetyFact("compressed_air", "cfr_29_1910_242_b", ("below 30 psi", "chip guard", "goggles"),
               ("Blow every hole", "blow through"), ("washed",)),
    SafetyFact("jack_use", "cfr_29_1910_244_a",
               ("rated for the load", "marked with its rating", "not beyond its stop", "block the load at once",
                "six months", "tagged out"),
               ("Bring the carrier up",), ("carrier_out", "wheel_off")),
    SafetyFact("solvent_fire", "cfr_29_1910_106_a_19", ("no flame", "no sparks"),
               ("solvent", "Tack spray", "brake cleaner", "penetrant,"), ("washed",)),
    SafetyFact("hot_work", "cfr_29_1910_252_a_2", ("35 ft", "fire watch", "half an hour")),
    SafetyFact("hollow_parts", "cfr_29_1910_252_a_3", ("drained, cleaned and vented",)),
    SafetyFact("solvent_near_arc", "cfr_29_1910_252_c_11", ("No chlorinated solvent",)),
    SafetyFact("leak_on_road", "cfr_49_396_5", ("lubricated and free of oil leaks",)),
    SafetyFact("carrier_weight", "common practice, no source", ("jack made for carriers, strapped",),
               ("Bring the carrier up",), ("carrier_out",)),
    SafetyFact("road_run", "common practice, no source", ("level in range",), ("drive until warm", "drive warm")),
    SafetyFact("stands", "common practice, no source", ("chocked", "stands rated"), (), ("carrier_out", "wheel_off")),
    SafetyFact("hot_oil", "common practice, no source", ("scalds",), (), ("drained", "hot")),
    SafetyFact("driveshaft", "common practice, no source", ("Chock the wheels",), (), ("carrier_out", "yoke_off")),
]  # fmt: skip


@pytest.mark.parametrize("fact", SAFETY, ids=lambda fact: fact.caution)
def test_a_safety_fact_has_its_source_and_stands_where_it_is_needed(fact: SafetyFact) -> None:
    caution = SHIPPED.cautions[fact.caution]
    assert caution.mark == fact.mark
    assert [phrase for phrase in fact.phrases if phrase not in caution.text] == []
    for word in fact.steps_that_say:
        steps = [step for repair in SHIPPED.repairs.values() for step in repair.steps if word in step.do]
        assert steps, word
        assert [step.do for step in steps if fact.caution not in step.cautions] == []
    assert [o for o in fact.openings if fact.caution not in SHIPPED.openings[o].cautions] == []


@pytest.mark.parametrize("id", SHIPPED.repairs)
def test_a_repair_is_told_whole(id: str) -> None:
    repair = SHIPPED.repairs[id]
    assert repair.proof
    assert repair.recheck
    assert repair.never
    if max((SHIPPED.link(word) for word in repair.cures.values()), default=1.0) < 0.2:
        return  # it stands there to be refused
    assert repair.tools
    assert any(step.hold for step in repair.steps)
    assert 0 < repair.minutes[0] <= repair.minutes[1]
    assert repair.needs_parts or repair.parts < 15


JUDGED_HOURS = {
    "a reseal, carrier out and in": ((GASKET_JOB,), (6.0, 11.0)),
    "the same with fasteners and dowels": ((GASKET_JOB, "new_fasteners", "fit_tapered_dowels"), (7.0, 12.5)),
    "a few fasteners in place": (("seal_fasteners_in_place",), (1.0, 3.0)),
    "the breather": (("clear_breather",), (0.3, 1.0)),
    "the level": (("correct_level",), (0.2, 0.5)),
    "the pinion seal": (("replace_pinion_seal",), (1.5, 4.0)),
    "a wheel seal": (("replace_wheel_seal",), (2.0, 4.5)),
    "the housing face": (("restore_housing_face",), (6.0, 20.0)),
}
"""Labour as one instructor judged it (a judgement, not measured): actions with what must be open for them, in hours."""


@pytest.mark.parametrize("job", JUDGED_HOURS)
def test_hours_of_labour_are_of_the_judged_size(job: str) -> None:
    actions, judged = JUDGED_HOURS[job]
    repairs = [SHIPPED.repairs[action] for action in actions]
    # What is added to a closing has its own minutes judged, for the joint is open by then.
    counts_access = len(repairs) > 1 or not repairs[0].together_with
    opened = opening_closure(SHIPPED, (o for repair in repairs for o in repair.access)) if counts_access else ()
    spans = [*(r.minutes for r in repairs), *(SHIPPED.openings[o].minutes for o in opened)]
    middle = sum(low + high for low, high in spans) / 2 / 60
    assert judged[0] <= middle <= judged[1]
