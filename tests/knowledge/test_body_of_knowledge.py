"""The shipped body of knowledge: what must hold of it as a whole, and what typical stories must come to.

The stories are short and of the trade; what they come to is what an experienced diagnostician would say, not a
figure. They were written by the author of the knowledge: the cases under docs/cases are others' expectations.
"""

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from leakdx.knowledge.files import shipped_folder
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.belief import ActEvidence, Belief, Evidence, HistoryEvidence, Model, SignEvidence, compile_model

BALANCED_WITHIN = 0.30
"""Average share over a group's answers may be off by this fraction: odds do not shift shares in proportion."""

STORIES: dict[str, tuple[tuple[str, ...], str]] = {
    "flung ring and a film without a line": (
        ("wet.pinion_seal=yes", "oil_flung_ring=yes", "wet_extent=no_line"),
        "pinion_seal_worn",
    ),
    "breather dead and everything worse when hot": (
        ("breather_no_flow=yes", "worse_when_hot=yes"),
        "breather_blocked",
    ),
    "breather blocked, pinion wet with it": (("wet.pinion_seal=yes", "breather_no_flow=yes"), "breather_blocked"),
    "burnt oil in a hot housing": (
        ("oil_burnt=yes", "housing_temperature=yes", "worse_when_hot=yes"),
        "oil_overheated",
    ),
    "too full after a change": (("level_high=yes", "oil_change:within_2_weeks"), "overfilled"),
    "dust crust and a tongue from the filler": (("dust_crust_only=yes", "spill_run=yes"), "old_spill"),
    "red oil from ahead, the gearbox wet": (
        ("wet.other_unit=yes", "fluid_kind=red_oil", "foremost_wet=transmission"),
        "transmission_fluid",
    ),
    "red oil, and the steering misses it": (
        ("wet.other_unit=yes", "fluid_kind=red_oil", "hydraulic_low=yes", "transmission_low=no"),
        "hydraulic_fluid",
    ),
    "black film from the engine back": (("wet.other_unit=yes", "fluid_kind=black_oil"), "engine_oil"),
    "grey oil at a wheel whose hub misses it": (
        ("wet.wheel_seal=yes", "fluid_kind=grey_oil", "hub_low=yes", "level_low=no"),
        "hub_oil",
    ),
    "sweet and green": (("fluid_kind=coolant",), "coolant"),
    "smells of fuel and is gone by morning": (("fluid_kind=fuel", "film_dries_off=yes"), "fuel"),
    "gear oil on a full rear axle, the one ahead is low": (
        ("axle_position:rear", "forward_axle_low=yes", "level_low=no", "through_ring=yes"),
        "through_shaft_seal_leaking",
    ),
    "wet from the cover down": (
        ("axle_position:forward", "wet.power_divider_cover=yes", "trail.power_divider_cover.carrier_joint=yes"),
        "power_divider_cover_leaking",
    ),
    "the lock's cylinder is loose and wet": (
        ("lock_fitted:fitted", "wet.lock_actuator=yes", "lock_cylinder_bad=yes"),
        "lock_actuator_leaking",
    ),
    "it blows only with the lock on": (("lock_fitted:fitted", "air_with_lock=yes"), "lock_pushes_air"),
    "spokes of oil on the rim": (("wet.shaft_flange=yes", "flange_streaks=yes"), "shaft_flange_leaking"),
    "a plug left hand-tight after the oil change": (
        ("oil_change:within_2_weeks", "wet.plug_or_sensor=yes", "plug_bad=yes"),
        "plug_leaking",
    ),
    "water after a ford": (("fluid_kind=water", "deep_water:yes"), "road_water"),
    "oil on the brake": (("wet.wheel_seal=yes", "brake_oiled=yes"), "wheel_seal_leaking"),
    "slack neighbours under the wet arc": (
        ("wet.pinion_seal=no", "torque_pattern=neighbours_low", "wet_at_low_fasteners=yes"),
        "uneven_torque",
    ),
    "impact tool and a necked fastener": (("torque_tool:impact_only", "fastener_stretched=yes"), "over_torque"),
    "old fasteners again and one of them slack": (
        ("fasteners_new:reused", "fastener_used=yes", "torque_pattern=one_low"),
        "fasteners_reused",
    ),
    "a bin fastener at the wet spot": (
        ("wrong_marks=yes", "torque_pattern=one_low", "wet_extent=spot"),
        "wrong_fasteners",
    ),
    "even torque, washer turns": (("torque_pattern=even", "washer_turns=yes"), "bottomed_fasteners"),
    "washed and driven, oil at the holes only": (
        ("!washed", "origin.fastener_holes=yes", "origin.carrier_joint=no"),
        "thread_wicking",
    ),
    "old sealant under the bead": (
        ("sealing_material:sealant", "residue_under_bead=yes", "bead_peels_clean=yes"),
        "old_residue",
    ),
    "bare metal and oil under the bead": (
        ("sealing_material:sealant", "bead_peels_clean=yes", "oil_film_under_bead=yes", "residue_under_bead=no"),
        "sealed_over_oil",
    ),
    "round crown, closed late": (("open_time:too_long", "bead_skin_fold=yes"), "sealant_skinned"),
    "wet the same evening, filled at once": (
        ("sealing_material:sealant", "leaked_at_once=yes", "cure_time_given:short"),
        "worked_before_cure",
    ),
    "slack, tightened, and wet again with an even ring": (
        (
            "sealing_material:sealant",
            "last_repair:tightened",
            "same_place_again=yes",
            "torque_pattern=even",
            "breather_no_flow=no",
        ),
        "bond_torn",
    ),
    "wet after frost, a drop of ice under the cap, free in the bay": (
        ("only_in_frost=yes", "ice_in_breather=yes", "breather_no_flow=no"),
        "breather_freezes",
    ),
    "air in a stream while the tyres are fed": (
        ("tyre_inflation:fitted", "breather_gives=air", "air_with_inflation=yes"),
        "inflation_pushes_air",
    ),
    "hard all round after years": (
        ("last_opened:longer_ago", "bead_brittle=yes", "wet_extent=ring", "breather_no_flow=no"),
        "seal_aged",
    ),
    "gasket with sealant": (("sealing_material:both", "sealant_at_gasket=yes"), "mixed_sealing"),
    "pieced gasket": (("sealing_material:gasket", "gasket_pieced=yes"), "mixed_sealing"),
    "entered on rod, oil gone in a day": (
        ("sealing_material:gasket", "guide_studs:short_or_rod", "leaked_at_once=yes", "level_low=yes"),
        "gasket_torn",
    ),
    "third time in the same arc after a grinding disc": (
        ("came_back:again_and_again", "same_place_again=yes", "wet_extent=arc", "cleaning_tool:abrasive_disc"),
        "housing_face_out_of_flat",
    ),
    "third time in the same spot": (
        ("came_back:again_and_again", "same_place_again=yes", "wet_extent=spot"),
        "face_damaged",
    ),
    "carrier face beyond the limit, housing within": (
        ("carrier_face_flatness=yes", "housing_face_flatness=no", "wet_extent=arc"),
        "carrier_face_out_of_flat",
    ),
    "a shifted line and no dowels": (
        ("dowel_state=missing", "carrier_shifts=yes", "fretting_at_line=yes"),
        "dowels_missing",
    ),
    "egg-shaped bores": (("dowel_bores_worn=yes", "carrier_shifts=yes"), "dowel_bore_damaged"),
    "bracket welded beside it": (("weld_near:since_reseal", "wet_by_weld=yes", "paint_burnt=yes"), "weld_heat"),
    "penetrant bleeds": (("crack_line_seen=yes", "penetrant_line=yes"), "crack"),
    "still soft and smearing": (("sealing_material:sealant", "bead_soft=yes"), "worked_before_cure"),
    "never opened, hard edge, a slow weep for years": (
        ("last_opened:never", "edge_hard=yes", "slow_for_long=yes"),
        "seal_aged",
    ),
    "old fasteners again, some slack here and there": (
        ("fasteners_new:reused", "torque_pattern=scattered_low"),
        "fasteners_reused",
    ),
    "jelly at the edge, and it was a household tube": (
        ("sealing_material:sealant", "sealant_kind:another", "bead_swollen=yes"),
        "wrong_sealant",
    ),
    "one turns on and on, and metal hangs on its thread": (
        ("torque_pattern=one_low", "never_tightens=yes", "thread_pulled_seen=yes"),
        "thread_pulled",
    ),
    "a feeler under a tight head": (("gap_under_head=yes", "torque_pattern=even"), "bottomed_fasteners"),
    "impact tool, and it takes a long bar to move them": (
        ("torque_tool:impact_only", "breaks_loose_hard=yes", "torque_pattern=scattered_low"),
        "over_torque",
    ),
    "odd ones from the shelf, oil at the holes": (
        ("fasteners_new:some_plain", "!washed", "origin.fastener_holes=yes"),
        "thread_wicking",
    ),
    "polish without a step, third time, dowel places empty": (
        (
            "face_polished=yes",
            "came_back:again_and_again",
            "housing_face_damaged=no",
            "carrier_face_damaged=no",
            "dowel_state=missing",
        ),
        "dowels_missing",
    ),
    "hit a bank, and a line": (("hard_use:yes", "crack_line_seen=yes"), "crack"),
    "dots of penetrant and no line": (
        ("wet.housing_metal=yes", "penetrant_dots=yes", "penetrant_line=no"),
        "porosity",
    ),
    "foam out of the breather": (("breather_gives=foam",), "overfilled"),
    "beads out of the casting": (("wet.housing_metal=yes", "casting_weep=yes"), "porosity"),
}


@cache
def shipped() -> tuple[Knowledge, Model]:
    """The shipped knowledge, and the model of it."""
    knowledge = load_knowledge([shipped_folder()])
    return knowledge, compile_model(knowledge)


def belief(*told: str) -> Belief:
    """The belief after entries like ``sign=outcome``, ``group:answer`` and ``!act``."""
    knowledge, model = shipped()
    history, signs, acts = [], [], []
    for entry, item in enumerate(told, 1):
        if item.startswith("!"):
            acts.append(_act(knowledge, item.removeprefix("!"), entry))
        elif "=" in item:
            sign, outcome = item.split("=")
            outcomes = knowledge.signs[sign].outcomes
            assert outcome in outcomes
            signs.append(SignEvidence(entry, sign, len(acts), tuple(float(o == outcome) for o in outcomes)))
        else:
            group, answer = item.split(":")
            history.append(_told(knowledge, group, answer, entry))
    return Belief(model, Evidence(knowledge.complaint, tuple(history), tuple(acts), tuple(signs)))


def _act(knowledge: Knowledge, act: str, entry: int) -> ActEvidence:
    cures = {
        c: knowledge.link(word) for whom, word in knowledge.acts[act].cures.items() for c in knowledge.members(whom)
    }
    return ActEvidence(entry, act, cures, knowledge.acts[act].renews)


def _told(knowledge: Knowledge, group: str, answer: str, entry: int) -> HistoryEvidence:
    shifts = knowledge.history[group].answers[answer].shifts
    decibans = {c: knowledge.decibans(shift) for whom, shift in shifts.items() for c in knowledge.members(whom)}
    impossible = tuple(c for c, cause in knowledge.causes.items() if answer not in cause.only_if.get(group, (answer,)))
    return HistoryEvidence(entry, group, decibans, impossible)


def first(found: Belief) -> Mapping[str, float]:
    """Cause -> chance that it leaked when brought in."""
    return dict(zip(found.causes, found.leaking_first.tolist(), strict=True))


@pytest.mark.parametrize("story", STORIES)
def test_story_comes_to_what_the_trade_would_say(story: str) -> None:
    told, cause = STORIES[story]
    chances = first(belief(*told))
    assert max(chances, key=chances.__getitem__) == cause, sorted(chances.items(), key=lambda c: -c[1])[:4]


def test_every_cause_has_its_story() -> None:
    knowledge, _ = shipped()
    assert {cause for _, cause in STORIES.values()} == set(knowledge.causes)


def test_typical_stories_do_not_warn_of_something_unknown() -> None:
    assert [s for s, (told, _) in STORIES.items() if first(belief(*told))[NOT_LISTED] > 0.1] == []


def test_a_truck_that_fits_nothing_is_said_to_fit_nothing() -> None:
    told = ("metal_in_oil=yes", "oil_milky=yes", "feeler_enters=yes", "breather_no_flow=no", "torque_pattern=even")
    chances = first(belief(*told))
    assert max(chances, key=chances.__getitem__) == NOT_LISTED


def test_pressure_seen_to_come_out_at_the_pinion_does_not_accuse_the_joint() -> None:
    told = ("wet.pinion_seal=yes", "breather_no_flow=yes", "hiss_at_plug=yes", "!washed", "origin.pinion_seal=yes")
    knowledge, _ = shipped()
    for zone, is_likely in (("pinion_seal", True), ("carrier_joint", False)):
        case = belief(*told, "origin.carrier_joint=no")
        assert (case.zones()[1][case.model.zones.index(zone)] > 0.5) == is_likely, knowledge.name(zone)


LISTED_PLACES = (
    "carrier_joint",
    "fastener_holes",
    "pinion_seal",
    "breather",
    "wheel_seal",
    "housing_metal",
    "through_shaft",
    "power_divider_cover",
    "lock_actuator",
    "plug_or_sensor",
    "shaft_flange",
    "other_unit",
)
NO_LISTED_ORIGIN = tuple(f"origin.{place}=no" for place in LISTED_PLACES)
WARNS_ABOVE = 0.1


def test_wet_again_with_every_listed_place_denied_may_be_none_of_these() -> None:
    chances = first(belief("!washed", "wet.carrier_joint=yes", *NO_LISTED_ORIGIN))
    assert chances[NOT_LISTED] > 3 * shipped()[0].words.not_listed.share / 100
    for place in LISTED_PLACES:
        others = tuple(f"origin.{other}=no" for other in LISTED_PLACES if other != place)
        found = first(belief("!washed", "wet.carrier_joint=yes", *others, f"origin.{place}=yes"))
        assert found[NOT_LISTED] < WARNS_ABOVE, place


def test_wet_as_found_and_nothing_after_the_drive_is_a_spill_not_a_riddle() -> None:
    chances = first(belief("wet.carrier_joint=yes", "!washed", *NO_LISTED_ORIGIN))
    assert max(chances, key=chances.__getitem__) == "old_spill"
    assert chances[NOT_LISTED] < WARNS_ABOVE


def test_oil_that_starts_at_a_place_not_named_is_something_not_listed() -> None:
    chances = first(belief("!washed", "origin.elsewhere_on_axle=yes", "origin.carrier_joint=no"))
    assert chances[NOT_LISTED] > 0.5


def test_air_that_streams_out_of_a_free_breather_is_the_lock_the_tyres_or_something_not_listed() -> None:
    told = ("wet.breather=yes", "breather_no_flow=no", "level_high=no", "breather_gives=air")
    fitted = first(belief(*told, "lock_fitted:fitted"))
    assert max(fitted, key=fitted.__getitem__) == "lock_pushes_air"
    tyres = first(belief(*told, "lock_fitted:not_fitted", "tyre_inflation:fitted"))
    assert max(tyres, key=tyres.__getitem__) == "inflation_pushes_air"
    without = first(belief(*told, "lock_fitted:not_fitted", "tyre_inflation:not_fitted"))
    assert without[NOT_LISTED] > WARNS_ABOVE
    assert without["lock_pushes_air"] == without["inflation_pushes_air"] == 0


def test_washed_and_dry_after_a_drive_leaves_nothing_leaking() -> None:
    after = belief("dust_crust_only=yes", "!washed", "wet.carrier_joint=no", "origin.carrier_joint=no")
    assert first(after)["old_spill"] > 0.9
    assert float(after.leaking.sum()) < 0.1


def test_wet_again_after_a_wash_is_no_spill() -> None:
    again = belief("wet.carrier_joint=yes", "!washed", "wet.carrier_joint=yes")
    assert first(again)["old_spill"] < 0.03


def test_undecided_stays_undecided_before_the_joint_is_opened() -> None:
    """Recently resealed with sealant and nothing else wet: which bond failed cannot be known from outside."""
    chances = first(belief("wet.pinion_seal=no", "sealing_material:sealant", "last_opened:within_3_months"))
    ranked = sorted(chances, key=lambda c: -chances[c])
    assert set(ranked[:3]) == {"sealed_over_oil", "old_residue", "worked_before_cure"}
    assert chances[ranked[0]] < 0.5


def test_history_is_balanced() -> None:
    """Averaged over a group's answers, as common as written, every cause stays near its share."""
    base = belief()
    for group, entry in shipped()[0].history.items():
        found = [answer.common / 100 * belief(f"{group}:{id}").leaking_first for id, answer in entry.answers.items()]
        ratio = dict(zip(base.causes, (np.sum(found, axis=0) / base.leaking_first).tolist(), strict=True))
        assert {c: round(r, 2) for c, r in ratio.items() if abs(r - 1) > BALANCED_WITHIN} == {}, group


def test_every_written_sign_is_shown_by_a_cause_and_revealed_by_a_check_or_readings() -> None:
    knowledge, _ = shipped()
    shown = {s for cause in knowledge.causes.values() for s in (*cause.shows, *cause.looks)}
    revealed = {r for check in knowledge.checks.values() for r in check.reveals}
    revealed |= {id for id, sign in knowledge.signs.items() if sign.worked_out}
    written = {id for id, sign in knowledge.signs.items() if not sign.place}
    assert written - shown == set()
    assert written - revealed == set()


def test_every_history_group_is_asked_by_a_check() -> None:
    knowledge, _ = shipped()
    asked = {r for check in knowledge.checks.values() for r in check.reveals}
    assert set(knowledge.history) - asked == set()


def test_opening_questions_are_in_one_clear_order() -> None:
    checks = shipped()[0].checks.values()
    orders = [check.ask_order for check in checks if check.ask_order is not None]
    assert len(orders) == len(set(orders))
    assert all(not check.access for check in checks if check.ask_order is not None)


def test_nothing_that_needs_the_carrier_out_is_asked_from_outside() -> None:
    """Evidence on the faces can be seen only with the carrier out: no check may promise it earlier."""
    knowledge, _ = shipped()
    inside = {
        "bead_peels_clean",
        "residue_under_bead",
        "housing_face_flatness",
        "housing_face_damaged",
        "dowel_bores_worn",
    }
    promised = {r for check in knowledge.checks.values() if "carrier_out" not in check.access for r in check.reveals}
    assert inside & promised == set()


def test_customer_words_keep_clear_of_the_trade_and_of_blame() -> None:
    trade = ("carrier", "pinion", "bead", "torque", "yoke", "flange", "careless", "mistake", "wrongly")
    plain = {id: cause.plain.lower() for id, cause in shipped()[0].causes.items()}
    said = {id: [word for word in trade if word in text] for id, text in plain.items()}
    assert {id: words for id, words in said.items() if words} == {}
