"""Which checks are offered: what the truck's state, the answers so far and the rules let be asked."""

from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from tests.reasoning.shipped_case import KNOWLEDGE, said

WET = ("wet.carrier_joint", "yes")


def offered(*words: str | tuple[str, str]) -> dict[str, tuple[str, ...]]:
    return diagnosis(*words).offer.checks()


def diagnosis(*words: str | tuple[str, str]) -> Diagnosis:
    return diagnose(KNOWLEDGE, said(*words))


def test_answered_or_unsure_is_not_asked_again_in_its_epoch() -> None:
    for answer in ("yes", "unsure", "not fitted"):
        assert "plug_hiss" not in offered(WET, ("hiss_at_plug", answer))
    assert "plug_hiss" in offered(WET)
    assert "plug_hiss" in offered(WET, ("hiss_at_plug", "yes"), "clear_breather")


def test_out_of_reach_waits_for_an_act_that_opens_something() -> None:
    assert "crack_line_seen" not in offered(WET, ("crack_line_seen", "can't reach")).get("casting_look", ())
    after = offered(WET, ("crack_line_seen", "can't reach"), "drained", "carrier_out")
    assert "crack_line_seen" in after.get("casting_look", ())


def test_the_order_of_what_could_not_be_seen_does_not_matter() -> None:
    one = diagnosis(("leaked_at_once", "can't reach"), ("hiss_at_plug", "no"))
    other = diagnosis(("hiss_at_plug", "no"), ("leaked_at_once", "can't reach"))
    assert one.offer.checks() == other.offer.checks()


def test_not_fit_to_drive_bars_every_check_that_drives() -> None:
    driving = {o for o, opening in KNOWLEDGE.openings.items() if opening.act and KNOWLEDGE.acts[opening.act].drives}
    barred = diagnosis(WET, ("crack_line_seen", "yes"))
    assert barred.fit_to_drive.answer == "no"
    assert not [c for c in barred.offer.checks() if driving & set(KNOWLEDGE.checks[c].access)]
    assert [c for c in offered(WET) if driving & set(KNOWLEDGE.checks[c].access)]


def test_what_a_wash_hides_waits_for_the_drive() -> None:
    assert "wet_line_look" not in offered(WET, "washed")
    assert "wet_line_look" in offered(WET, "washed", "driven")


def test_a_check_out_of_reach_keeps_no_hold_waiting() -> None:
    free = diagnosis(WET)
    hold = next(h for h in free.holds if "carrier_out" in h.before and "breather_blow" in h.record)
    assert "breather_blow" in free.offer.to_record(hold)
    stuck = diagnosis(WET, ("breather_no_flow", "can't reach"))
    assert "breather_blow" not in stuck.offer.to_record(hold)


def test_a_wash_asks_for_another_drive() -> None:
    """Washing ends what the last drive could show, so a check on a clean, driven truck needs both again."""
    driven_dirty = diagnosis(WET, "driven")
    check = KNOWLEDGE.checks["origin_look"]
    assert driven_dirty.planner.opens(check) == {"washed", "driven"}
    assert diagnosis(WET, "washed", "driven").planner.opens(check) == set()
