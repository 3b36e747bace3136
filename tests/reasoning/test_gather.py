"""What a log says to the belief: likelihoods, corrections, epochs."""

from leakdx.reasoning.diagnosis import diagnose
from leakdx.reasoning.evidence import Evidence
from leakdx.reasoning.gather import likelihood
from tests.reasoning.shipped_case import KNOWLEDGE, said


def evidence(*words: str | tuple[str, str]) -> Evidence:
    return diagnose(KNOWLEDGE, said(*words)).evidence


def answers(of: Evidence, sign: str) -> list[tuple[int, tuple[float, ...]]]:
    return [(s.epoch, s.likelihood) for s in of.signs if s.sign == sign]


def test_fairly_sure_leaves_the_other_outcomes_a_little() -> None:
    assert likelihood(("no", "yes"), "yes", "fairly") == (0.15, 1.0)
    assert likelihood(("even", "low", "all"), "low", "fairly") == (0.15, 1.0, 0.15)
    assert likelihood(("no", "yes"), "no", "sure") == (1.0, 0.0)


def test_a_line_seen_only_once_it_was_clean_is_a_better_look() -> None:
    seen = evidence(("crack_line_seen", "no"), "washed", "driven", ("crack_line_seen", "yes"))
    assert answers(seen, "crack_line_seen") == [(1, (0.0, 1.0))]


def test_what_an_act_may_have_ended_counts_both_times() -> None:
    seen = evidence(("breather_no_flow", "yes"), "clear_breather", "driven", ("breather_no_flow", "no"))
    assert answers(seen, "breather_no_flow") == [(0, (0.0, 1.0)), (1, (1.0, 0.0))]


def test_acts_with_nothing_seen_between_them_share_an_epoch() -> None:
    together = evidence(("wet.carrier_joint", "yes"), "clear_breather", "washed", "driven", ("wet.carrier_joint", "no"))
    assert len(together.acts) == 1
    assert {"breather_blocked", "old_spill"} <= together.acts[0].cures.keys()
    apart = evidence(("wet.carrier_joint", "yes"), "clear_breather", ("hiss_at_plug", "no"), "washed", "driven")
    assert len(apart.acts) == 2


def test_a_sign_that_an_act_gives_stands_in_the_epoch_of_the_act() -> None:
    seen = evidence("topped_up", ("wet.carrier_joint", "yes"), "washed", "driven", ("wet.carrier_joint", "yes"))
    assert answers(seen, "level_low") == [(0, (0.0, 0.0, 1.0))]
