"""Facts of the trade (common practice, no source): each is shown by a case, and no longer when it is taken out."""

import pytest

from leakdx.knowledge.files import shipped_folder
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge
from tests.published.trade import (
    Ask,
    Said,
    TradeFact,
    always_beside,
    asker,
    forbids,
    holds_before,
    leads,
    leaked,
    needs_beside,
    not_curing,
    paths_with,
    possible_anyhow,
    standing_alone,
    with_limit,
    without_each,
    without_rule,
    without_shift,
    without_sign,
    without_waiting,
)

OPEN = ("drained", "carrier_out")
LOOKED: tuple[Said, ...] = (("wet", "carrier_joint"), ("level_low", "no"), ("breather_no_flow", "no"))
LEAKS_AT_JOINT: tuple[Said, ...] = (*LOOKED, "washed", "driven", ("origin.carrier_joint", "yes"))
SEALANT = ("sealing_material", "sealant")
GASKET = ("sealing_material", "gasket")
BOTH = ("sealing_material", "both")
GOOD_CARRIER = ("carrier_face_flatness", "0.002", "in")
WICKING = ("origin.fastener_holes", "yes")
ALL_PLAIN: tuple[Said, ...] = (("fasteners_new", "new_plain"),)
NO_DOWELS = ("dowel_state", "missing")
NOT_FRETTED = ("torque_pattern", "even")
MOVES: tuple[Said, ...] = (*LEAKS_AT_JOINT, GASKET, ("carrier_shifts", "yes"), *OPEN, NO_DOWELS)
TORN: tuple[Said, ...] = (*LEAKS_AT_JOINT, GASKET, *OPEN, ("gasket_torn_seen", "yes"), ("leaked_at_once", "yes"))
RESIDUE: tuple[Said, ...] = (*LEAKS_AT_JOINT, SEALANT, *OPEN, ("residue_under_bead", "yes"))
STRETCHED: tuple[Said, ...] = (("fastener_stretched", "yes"), ("torque_pattern", "one_low"))


def housing(value: str, unit: str = "in") -> Said:
    return ("housing_face_flatness", value, unit)


def carrier(value: str, unit: str = "in") -> Said:
    return ("carrier_face_flatness", value, unit)


def face_stops(ask: Ask, reading: Said, repair: str = "restore_housing_face") -> bool:
    return needs_beside(ask(*LOOKED, GASKET, *OPEN, reading), "reseal_with_gasket", repair)


def raised_by(ask: Ask, cause: str, more: Said, less: Said, *log: Said) -> bool:
    """Whether one answer of a history group makes a cause likelier than another answer."""
    return leaked(ask(*log, more), cause) > 1.2 * leaked(ask(*log, less), cause)


def waits(ask: Ask, closing: str) -> float:
    """Least hours of waiting of the best path that closes the joint in this way."""
    return paths_with(ask(*RESIDUE), closing)[0].elapsed[0]


FLATNESS = [
    TradeFact(
        "exactly 0.005 in passes",
        lambda ask: not face_stops(ask, housing("0.005")),
        with_limit("housing_face_flatness", 0.004),
    ),
    TradeFact(
        "0.13 mm is 0.005 in and passes too",
        lambda ask: not face_stops(ask, housing("0.13", "mm")),
        with_limit("housing_face_flatness", 0.004),
    ),
    TradeFact(
        "0.006 in on the housing face stops the gasket",
        lambda ask: face_stops(ask, housing("0.006")),
        without_rule("no_gasket_on_a_bad_housing_face"),
    ),
    TradeFact(
        "0.006 in is beyond the limit and 0.007 in is not the first that is",
        lambda ask: face_stops(ask, housing("0.006")),
        with_limit("housing_face_flatness", 0.006),
    ),
    TradeFact(
        "0.006 in on the carrier face stops the gasket as well",
        lambda ask: face_stops(ask, carrier("0.006"), "restore_carrier_face"),
        without_rule("no_gasket_on_a_bad_carrier_face"),
    ),
    TradeFact(
        "a face beyond the limit is the axle maker's question, not the sealant's",
        lambda ask: needs_beside(
            ask(*LOOKED, SEALANT, *OPEN, housing("0.009")), "reseal_with_sealant", "restore_housing_face"
        ),
        without_rule("no_gasket_on_a_bad_housing_face"),
    ),
    TradeFact(
        "a reading at the limit is measured again before the gasket goes on",
        lambda ask: holds_before(
            ask(*LOOKED, GASKET, *OPEN, housing("0.005")), "reseal_with_gasket", "housing_face_flat"
        ),
        without_rule("measure_housing_again", "before_closing"),
    ),
    TradeFact(
        "both faces are measured before the joint is closed",
        lambda ask: holds_before(ask(*LOOKED, GASKET, *OPEN), "reseal_with_gasket", "carrier_face_flat"),
        without_rule("before_closing"),
    ),
    TradeFact(
        "abrasive discs distort the faces",
        lambda ask: raised_by(
            ask,
            "housing_face_out_of_flat",
            ("cleaning_tool", "abrasive_disc"),
            ("cleaning_tool", "non_woven_disc"),
            *LEAKS_AT_JOINT,
        ),
        without_shift("cleaning_tool", "housing_face_out_of_flat"),
    ),
    TradeFact(
        "after an abrasive disc the faces are measured before they are sealed again",
        lambda ask: holds_before(
            ask(*LOOKED, ("cleaning_tool", "abrasive_disc")), "reseal_with_gasket", "housing_face_flat"
        ),
        without_rule("disc_may_distort"),
    ),
]

SEALING = [
    TradeFact(
        "sealant on a gasket: found, it is the cause",
        lambda ask: leads(ask(*LEAKS_AT_JOINT, GASKET, ("sealant_at_gasket", "yes")), "mixed_sealing"),
        without_each(without_sign("mixed_sealing", "sealant_at_gasket"), without_rule("sealant_at_gasket_is_both")),
    ),
    TradeFact(
        "sealant on a gasket: told, it raises wrong sealing",
        lambda ask: raised_by(ask, "mixed_sealing", BOTH, GASKET, *LEAKS_AT_JOINT),
        without_shift("sealing_material", "mixed_sealing"),
    ),
    TradeFact(
        "sealant only where no gasket is used",
        lambda ask: forbids(ask(*LEAKS_AT_JOINT, GASKET), "reseal_with_sealant", "not at all"),
        without_rule("no_sealant_on_a_gasket"),
    ),
    TradeFact(
        "a pieced gasket is the cause where it is found",
        lambda ask: leads(ask(*LEAKS_AT_JOINT, GASKET, ("gasket_pieced", "yes")), "mixed_sealing"),
        without_sign("mixed_sealing", "gasket_pieced"),
    ),
    TradeFact(
        "a pieced gasket proves wrong sealing in words",
        lambda ask: "mixed_sealing" in ask(*LOOKED, ("gasket_pieced", "yes")).orders.established(),
        without_rule("mixed_by_piecing_or_sealant"),
    ),
    TradeFact(
        "a pieced gasket found is a gasket, whatever was not told",
        lambda ask: forbids(ask(*LOOKED, ("gasket_pieced", "yes")), "reseal_with_sealant", "not at all"),
        without_rule("gasket_found_is_gasket"),
    ),
    TradeFact(
        "oil across it at fitting does not hurt a gasket",
        lambda ask: leaked(ask(*LEAKS_AT_JOINT, GASKET), "sealed_over_oil") == 0,
        possible_anyhow("sealed_over_oil"),
    ),
    TradeFact(
        "a gasket has no open time to race",
        lambda ask: leaked(ask(*LEAKS_AT_JOINT, GASKET), "sealant_skinned") == 0,
        possible_anyhow("sealant_skinned"),
    ),
    TradeFact(
        "a gasket needs no cure",
        lambda ask: leaked(ask(*LEAKS_AT_JOINT, GASKET), "worked_before_cure") == 0,
        possible_anyhow("worked_before_cure"),
    ),
    TradeFact(
        "with a gasket the axle is filled at once, sealant waits",
        lambda ask: waits(ask, "reseal_with_sealant") >= waits(ask, "reseal_with_gasket") + 12,
        without_waiting("reseal_with_sealant"),
    ),
    TradeFact(
        "old residue keeps sealant from sticking",
        lambda ask: leads(ask(*RESIDUE), "old_residue"),
        without_sign("old_residue", "residue_under_bead"),
    ),
    TradeFact(
        "welding near the joint harms a sealant joint",
        lambda ask: leads(ask(*LEAKS_AT_JOINT, SEALANT, ("weld_near", "since_reseal")), "weld_heat"),
        without_shift("weld_near", "weld_heat"),
    ),
    TradeFact(
        "a gasket stands the heat of nearby welding",
        lambda ask: leaked(ask(*LEAKS_AT_JOINT, GASKET, ("weld_near", "since_reseal")), "weld_heat") == 0,
        possible_anyhow("weld_heat"),
    ),
    TradeFact(
        "a cured sealant joint is not tightened again",
        lambda ask: forbids(ask(*LOOKED, SEALANT), "retorque_in_place", "not at all"),
        without_rule("no_tightening_cured_sealant"),
    ),
]

CLOSING = [
    TradeFact(
        "short studs let the carrier tear the gasket",
        lambda ask: raised_by(
            ask, "gasket_torn", ("guide_studs", "short_or_rod"), ("guide_studs", "long_smooth"), *LEAKS_AT_JOINT, GASKET
        ),
        without_shift("guide_studs", "gasket_torn"),
    ),
    TradeFact(
        "a gasket torn at fitting can lose the oil quickly",
        lambda ask: (
            leaked(ask(*LOOKED[2:], GASKET, ("level_low", "yes")), "gasket_torn")
            > 1.5 * leaked(ask(*LOOKED[2:], GASKET, ("level_low", "no")), "gasket_torn")
        ),
        without_sign("gasket_torn", "level_low"),
    ),
    TradeFact(
        "running low can cost the carrier, so it is inspected in every path",
        lambda ask: all(
            "inspect_after_low_level" in path.actions for path in ask(GASKET, ("level_low", "yes")).repairs
        ),
        without_rule("inspect_after_running_low"),
    ),
    TradeFact(
        "reused fasteners are suspected where they are told",
        lambda ask: raised_by(
            ask,
            "fasteners_reused",
            ("fasteners_new", "reused"),
            ("fasteners_new", "new_with_adhesive"),
            *LEAKS_AT_JOINT,
        ),
        without_shift("fasteners_new", "fasteners_reused"),
    ),
    TradeFact(
        "new fasteners whenever the joint is closed",
        lambda ask: always_beside(ask(*TORN), "reseal_with_gasket", "new_fasteners"),
        without_rule("no_used_fasteners"),
    ),
    TradeFact(
        "the through-holes leak along the thread",
        lambda ask: (
            leaked(ask(*LOOKED, ("thread_oily", "yes")), "thread_wicking")
            > 2 * leaked(ask(*LOOKED, ("thread_oily", "no")), "thread_wicking")
        ),
        without_sign("thread_wicking", "thread_oily"),
    ),
    TradeFact(
        "new fasteners with dry adhesive close the through-holes",
        lambda ask: bool(paths_with(ask(*LOOKED, "washed", "driven", WICKING, *ALL_PLAIN), "new_fasteners")),
        not_curing("new_fasteners", "thread_wicking"),
    ),
    TradeFact(
        "dowels missing let the carrier move",
        lambda ask: leads(ask(*LEAKS_AT_JOINT, GASKET, *OPEN, NO_DOWELS, NOT_FRETTED), "dowels_missing"),
        lambda knowledge: without_sign("dowels_missing", "dowel_state")(without_rule("dowels_missing_seen")(knowledge)),
    ),
    TradeFact(
        "a carrier that moves tears every new bead, so it comes back",
        lambda ask: raised_by(
            ask, "dowels_missing", ("came_back", "again_and_again"), ("came_back", "first_time"), *LEAKS_AT_JOINT
        ),
        without_shift("came_back", "dowels"),
    ),
    TradeFact(
        "tapered dowels take out most of the carrier's movement",
        lambda ask: bool(ask(*MOVES).repairs) and "fit_tapered_dowels" in ask(*MOVES).repairs[0].actions,
        lambda knowledge: not_curing("fit_tapered_dowels", "dowels_missing")(
            without_rule("fit_missing_dowels")(knowledge)
        ),
    ),
    TradeFact(
        "tapered dowels are worth fitting where there were none",
        lambda ask: "fit_tapered_dowels" in [s.id for s in ask(*LOOKED, ("dowels", "not_fitted")).orders.put_right()],
        without_rule("fit_missing_dowels"),
    ),
    TradeFact(
        "the joint is resealed whenever the carrier has been out",
        lambda ask: always_beside(ask(*LEAKS_AT_JOINT, GASKET, *STRETCHED), "new_fasteners", "reseal_with_gasket"),
        standing_alone("new_fasteners"),
    ),
    TradeFact(
        "leaks rose with more torque at low engine speed and faster gearing",
        lambda ask: raised_by(
            ask,
            "dowels_missing",
            ("engine_gearing", "high_torque_slow_engine"),
            ("engine_gearing", "ordinary"),
            *LEAKS_AT_JOINT,
        ),
        without_shift("engine_gearing", "dowels_missing"),
    ),
]


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return load_knowledge([shipped_folder()])


@pytest.mark.parametrize("fact", [*FLATNESS, *SEALING, *CLOSING], ids=lambda fact: fact.says)
def test_a_case_shows_the_fact_and_fails_without_it(knowledge: Knowledge, fact: TradeFact) -> None:
    assert fact.shown(asker(knowledge))
    assert not fact.shown(asker(fact.taken_out(knowledge)))


CAUTIONS: tuple[tuple[str, Said], ...] = (
    ("hot_work", ("weld_near", "since_reseal")),
    ("hollow_parts", ("weld_near", "since_reseal")),
    ("solvent_near_arc", ("weld_near", "since_reseal")),
    ("hot_work", ("crack_line_seen", "yes")),
    ("leak_on_road", ("leak_grade", "film")),
    ("brakes_oiled", ("brake_oiled", "yes")),
)


@pytest.mark.parametrize(("caution", "said"), CAUTIONS, ids=str)
def test_a_caution_is_given_where_the_truck_asks_for_it(knowledge: Knowledge, caution: str, said: Said) -> None:
    assert caution in [c.id for c in asker(knowledge)(*LOOKED, said).orders.cautions()]
    assert caution not in [c.id for c in asker(knowledge)().orders.cautions()]


def test_a_gouge_alone_has_no_face_machined(knowledge: Knowledge) -> None:
    gouged = asker(knowledge)(
        *LEAKS_AT_JOINT, SEALANT, *OPEN, ("housing_face_damaged", "yes"), housing("0.002"), GOOD_CARRIER
    )
    assert leads(gouged, "face_damaged")
    assert paths_with(gouged, "dress_face")
    assert paths_with(gouged, "restore_housing_face") == []
    assert paths_with(gouged, "restore_carrier_face") == []


def test_every_action_behind_the_open_joint_needs_a_closing(knowledge: Knowledge) -> None:
    closings = {id for id, repair in knowledge.repairs.items() if repair.closes}
    behind = {id for id, repair in knowledge.repairs.items() if "carrier_out" in repair.access} - closings
    assert len(behind) >= 6
    assert [id for id in behind if closings not in map(set, knowledge.repairs[id].together_with)] == []


def test_a_refused_action_is_never_good_enough_to_be_the_cure(knowledge: Knowledge) -> None:
    for id in ("weld_casting", "retorque_in_place"):
        assert (
            max(knowledge.link(word) for word in knowledge.repairs[id].cures.values()) < knowledge.words.links["often"]
        )
