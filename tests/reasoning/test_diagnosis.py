"""The front: decisions, the check that comes first, weights that sum."""

import numpy as np
import pytest
from numpy.typing import NDArray

from leakdx.reasoning.belief import Belief, Evidence
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from tests.reasoning.shipped_case import KNOWLEDGE, said

WET = ("wet.carrier_joint", "yes")
CLEAN = (WET, "washed", "driven")


def decibans(chances: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(10 * np.log10(chances / (1 - chances)))


def diagnosis(*words: str | tuple[str, str]) -> Diagnosis:
    return diagnose(KNOWLEDGE, said(*words))


def test_nothing_known_is_looked_into() -> None:
    nothing = diagnosis()
    assert nothing.decision.do == "look_further"
    assert nothing.next_check is not None
    assert not nothing.next_check.opens


def test_a_spill_is_released_once_every_place_was_seen_dry() -> None:
    """Three dry places are too few: what seeps elsewhere need not have run down to the joint on one drive."""
    three = diagnosis(*CLEAN, *((f"wet.{place}", "no") for place in ("carrier_joint", "pinion_seal", "wheel_seal")))
    assert three.decision.do == "look_further"
    dry = diagnosis(*CLEAN, *((sign, "no") for sign in KNOWLEDGE.signs if sign.startswith("wet.")))
    assert dry.decision.do == "release_and_recheck"
    assert dry.answers.repairs[0].actions == ()


def test_a_repair_waits_for_the_check_that_it_stands_on() -> None:
    before = diagnosis(WET, ("engine_low", "yes"))
    assert before.offer.to_confirm(("refer_other_unit",), ()) == ("fluid_look",)
    after = diagnosis(WET, ("engine_low", "yes"), ("fluid_kind", "unsure"))
    assert after.offer.to_confirm(("refer_other_unit",), ()) == ()


def test_where_it_stops_to_ask_nothing_is_asked_for() -> None:
    strange = diagnosis(
        WET, ("level_low", "no"), ("level_high", "no"), ("breather_no_flow", "no"), "washed", "driven",
        ("origin.elsewhere_on_axle", "yes"), ("origin.carrier_joint", "no"), ("origin.fastener_holes", "no"),
        ("origin.pinion_seal", "no"), ("origin.breather", "no"), ("origin.wheel_seal", "no"),
        ("origin.housing_metal", "no"), ("origin.other_unit", "no"),
    )  # fmt: skip
    assert strange.answers.could_be_none_of_these.warn
    assert strange.decision.do in ("stop_and_ask", "look_further")
    if strange.decision.do == "stop_and_ask":
        assert strange.next_check is None


def test_weights_sum_to_all_that_was_learned_since_the_complaint() -> None:
    case = diagnosis(("last_opened", "within_3_months"), WET, ("level_low", "yes"), ("torque_pattern", "one_low"))
    told = Belief(case.belief.model, Evidence(case.case.complaint))

    learned = dict(
        zip(case.belief.causes, decibans(case.belief.leaking_first) - decibans(told.leaking_first), strict=True)
    )
    for cause, change in learned.items():
        assert sum(row.decibans[cause] for row in case.weights) == pytest.approx(change, abs=1e-8)


def test_wet_in_many_places_washed_and_driven_is_answered() -> None:
    """What may be asked then, every trail and origin, belongs to the look-ahead and not to the case."""
    places = [sign for sign, entry in KNOWLEDGE.signs.items() if entry.place[:1] == ("wet",)]
    case = diagnosis(*((sign, "yes") for sign in places[::2]), *((sign, "no") for sign in places[1::2]), *CLEAN[1:])
    assert case.offer.askable()
    assert case.belief.evidence.askable == ()
    assert case.decision.do
