"""Which check comes first where the truck stands open, and what is measured again, on the shipped knowledge."""

import numpy as np
import pytest

from leakdx.case import Case, Comeback, Done, LogEntry, Observation, Reading, Told
from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from tests.shipped import knowledge


def opened(*more: LogEntry) -> Diagnosis:
    """A sealant joint with its carrier out and the bead read; ``more`` is numbered on from there."""
    log: list[LogEntry] = [
        Told(number=1, who="AB", group="sealing_material", answer="sealant"),
        Observation(number=2, who="AB", sign="wet.carrier_joint", answer="yes"),
        Done(number=3, who="AB", act="drained"),
        Done(number=4, who="AB", act="carrier_out"),
        Observation(number=5, who="AB", sign="bead_peels_clean", answer="no"),
    ]
    return diagnose(knowledge(), Case(id="KD-1", complaint="carrier_joint", log=(*log, *more)))


def reading(number: int, face: str, value: str) -> Reading:
    return Reading(number=number, who="AB", sign=f"{face}_face_flatness", value=value, unit="in")


def test_with_the_carrier_out_the_faces_are_measured_before_anything_else_is_walked_round() -> None:
    made = opened(reading(6, "housing", "0.002"))
    assert made.next_check is not None
    assert made.next_check.id == "carrier_face_flat"
    assert not made.next_check.opens


def test_readings_on_both_sides_of_the_limit_are_taken_again() -> None:
    both = (reading(6, "housing", "0.004"), reading(7, "housing", "0.006"), reading(8, "carrier", "0.002"))
    made = opened(*both)
    assert "housing_face_flatness" in made.offer.askable()
    assert made.next_check is not None
    assert made.next_check.id == "housing_face_flat"
    clear = opened(reading(6, "housing", "0.002"), reading(7, "housing", "0.002"), reading(8, "carrier", "0.002"))
    assert "housing_face_flatness" not in clear.offer.askable()


def test_whether_it_is_the_same_place_is_moot_until_it_is_known_to_have_come_back() -> None:
    assert not opened().offer.allows("same_place_look")
    assert not opened(Told(number=6, who="AB", group="came_back", answer="first_time")).offer.allows("same_place_look")
    assert opened(Told(number=6, who="AB", group="came_back", answer="once")).offer.allows("same_place_look")


def test_what_is_put_right_by_the_way_brings_its_companions() -> None:
    """Worn dowel bores are restored while the joint is open, and restored bores get tapered dowels."""
    worn = Observation(number=6, who="AB", sign="dowel_bores_worn", answer="yes")
    skinned = Observation(number=7, who="AB", sign="bead_skin_fold", answer="yes")
    best = opened(worn, skinned).answers.repairs[0].actions
    assert {"restore_bores_and_threads", "fit_tapered_dowels"} <= set(best)


def test_a_place_of_a_part_that_is_not_fitted_is_not_asked_about() -> None:
    plain = diagnose(knowledge(), Case(id="KD-1", complaint="carrier_joint", axle="umber_older"))
    assert "wet.lock_actuator" not in plain.offer.askable()
    assert "wet.pinion_seal" in plain.offer.askable()
    unknown = diagnose(knowledge(), Case(id="KD-1", complaint="carrier_joint", axle="from_manual"))
    assert "wet.lock_actuator" in unknown.offer.askable()


def test_sealant_that_leaked_again_is_not_curing_any_more() -> None:
    log: tuple[LogEntry, ...] = (
        Observation(number=1, who="AB", sign="wet.carrier_joint", answer="yes"),
        Done(number=2, who="AB", act="carrier_out"),
        Done(number=3, who="AB", act="reseal_with_sealant"),
    )
    curing = diagnose(knowledge(), Case(id="KD-1", complaint="carrier_joint", log=log))
    assert "curing" in curing.fit_to_drive.reason
    back = Comeback(number=4, who="AB", place="carrier_joint")
    again = diagnose(knowledge(), Case(id="KD-1", complaint="carrier_joint", log=(*log, back)))
    assert "curing" not in again.fit_to_drive.reason


def test_before_the_maker_is_asked_a_look_is_weighed_against_asking() -> None:
    """Wet where no part of the list sits: the price of asking is what a look can spare."""
    wet, dry = ("carrier_joint", "elsewhere_on_axle", "under_axle"), ("pinion_seal", "wheel_seal", "plug_or_sensor")
    seen = [(f"wet.{place}", answer) for places, answer in ((wet, "yes"), (dry, "no")) for place in places]
    log = [Observation(number=n, who="AB", sign=sign, answer=answer) for n, (sign, answer) in enumerate(seen, 1)]
    made = diagnose(knowledge(), Case(id="KD-1", complaint="carrier_joint", log=tuple(log)))
    planner, belief = made.planner, made.belief
    assert planner.is_unknown
    chances, prices = belief.leaking + made.shop.quiet_starts * belief.quiet, made.means.prices
    others = sum(c * p for cause, c, p in zip(belief.causes, chances, prices, strict=True) if cause != NOT_LISTED)
    asking = made.shop.stop_and_ask_price + others
    least = planner.or_asking(np.array([asking + 1, asking - 1, np.inf]), belief.leaking[None], belief.quiet[None])
    assert least == pytest.approx([asking, asking - 1, np.inf]), "an open joint that nothing may close is no answer"
    assert made.decision.do == "look_further"
    known = diagnose(knowledge(), Case(id="KD-1", complaint="carrier_joint", log=tuple(log[:1])))
    assert not known.planner.is_unknown
    assert known.planner.or_asking(np.array([1e6]), belief.leaking[None], belief.quiet[None]) == 1e6
