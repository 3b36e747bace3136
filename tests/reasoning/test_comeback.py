"""A comeback: a new closing draws some causes afresh, and the truck is reported wet once more."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from leakdx.case import Case, Comeback, Done, LogEntry, Observation, Told
from leakdx.errors import TooWideError
from leakdx.reasoning.belief import ActEvidence, Belief, Evidence, SignEvidence, compile_model
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.evidence import HistoryEvidence, Redraw, Reported
from leakdx.reasoning.outlook import Outlook
from tests import shipped
from tests.reasoning.tiny import JOINT, cause, knowledge, sign, yes

HEARD = (0.95, 0.001)


def two(**fields: Any) -> Belief:
    """Residue (base .2) and a bad face (.1), both always leaking; resealed (cures residue with .9), wet again."""
    k = knowledge({"residue": cause(shows={"peels": 0.8}), "face": cause()}, {"peels": sign(0.1)}, reported=HEARD)
    evidence = Evidence(
        JOINT,
        acts=(ActEvidence(1, "reseal", {"residue": 0.9}, ("peels",)),),
        redraws=(Redraw(1, ("residue",), 0.03),),
        comebacks=(Reported(1, JOINT),),
    )
    return Belief(compile_model(k, {"residue": 0.2, "face": 0.1}), replace(evidence, **fields))


def by_hand(peels: dict[int, bool], new: float = 0.03) -> tuple[float, float, float]:
    """P(residue now), P(face), P(residue, the first time): all coins written out."""
    whole = now = face = old = 0.0
    for had, cured, again, bad in np.ndindex(2, 2, 2, 2):
        left = had and not cured
        chance = (0.2 if had else 0.8) * (0.9 if cured else 0.1)
        chance *= (new if again else 1 - new) * (0.1 if bad else 0.9)
        wet = [bool(had or bad), bool(left or again or bad)]
        reported = 0.0
        for weight, link in ((0.95, True), (0.05, False)):
            reported += weight * float(np.prod([1.0 if link and is_wet else 0.001 for is_wet in wet]))
        seen = 0.0
        for coins in np.ndindex(2, 2):  # one link coin for each closing, and a stray for each
            own = float(np.prod([0.8 if coin else 0.2 for coin in coins]))
            asked = {0: had and coins[0], 1: (left and coins[0]) or (again and coins[1])}
            for epoch, said in peels.items():
                is_yes = 1.0 if asked[epoch] else 0.1
                own *= is_yes if said else 1 - is_yes
            seen += own
        weight = chance * reported * seen
        whole += weight
        now += weight * bool(left or again)
        face += weight * bad
        old += weight * had
    return now / whole, face / whole, old / whole


@pytest.mark.parametrize("peels", [{}, {0: True}, {0: True, 1: False}, {0: False, 1: True}])
def test_the_second_set_has_coins_of_its_own(peels: dict[int, bool]) -> None:
    signs = tuple(
        SignEvidence(n, "peels", epoch, (1.0 - said, float(said))) for n, (epoch, said) in enumerate(peels.items())
    )
    after = two(signs=signs)
    now, face, _ = by_hand(peels)
    assert tuple(after.leaking) == (pytest.approx(now, abs=1e-12), pytest.approx(face, abs=1e-12))
    assert after.leaking_first == pytest.approx(after.leaking, abs=1e-12)


def test_what_was_seen_before_the_closing_speaks_of_the_first_set() -> None:
    """The bead peeled: it was residue, which was mended, and so less speaks for the face."""
    assert two(signs=(yes("peels"),)).leaking[1] < two().leaking[1]


def test_history_of_the_closing_moves_the_new_set_only() -> None:
    told = HistoryEvidence(5, "who", {"residue": 10.0}, draw=1)
    odds = 10 * 0.03 / 0.97
    now, _, _ = by_hand({}, new=odds / (1 + odds))
    assert two(history=(told,)).leaking[0] == pytest.approx(now, abs=1e-12)


def test_the_new_set_leaks_with_the_chance_of_the_closing() -> None:
    """Three causes of which some are quiet at times: one offset for all, before the truck is reported wet again."""
    k = knowledge({"a": cause(leaks=0.4), "b": cause(), "c": cause(leaks=0.7)}, reported=(0.0, 1.0))
    gone = ActEvidence(1, "reseal", {"a": 1.0, "b": 1.0, "c": 1.0})
    evidence = Evidence(JOINT, acts=(gone,), redraws=(Redraw(1, ("a", "b", "c"), 0.06),))
    after = Belief(compile_model(k, {"a": 0.3, "b": 0.05, "c": 0.6}), evidence)
    none = after.expect(now=np.array([[[1.0, 1.0, 0.0]] * 3]))
    assert 1 - none[0] == pytest.approx(0.06, abs=1e-9)


# -- whole cases ------------------------------------------------------------------------------------------


def come_back(case: Case, *more: LogEntry, repair: str = "reseal_with_gasket") -> Diagnosis:
    said = (
        Done(number=0, who="AB", act=repair),
        Comeback(number=0, who="AB", place=case.complaint),
        *more,
    )
    numbered = tuple(replace(entry, number=n) for n, entry in enumerate((*case.log, *said), 1))
    return diagnose(shipped.knowledge(), replace(case, log=numbered))


def test_residue_that_was_mended_does_not_lead_again() -> None:
    _, case, plain = shipped.parts("02")
    again = come_back(case)
    assert plain.answers.causes[0].id == "old_residue"
    now = {row.id: row.leaking_first for row in again.answers.causes}
    assert now["old_residue"] < 0.1
    assert again.answers.comebacks[0].id == case.complaint
    assert again.history["sealing_material"] == "gasket"
    assert "old_residue" not in again.answers.established


def test_what_is_seen_in_the_new_joint_speaks_of_it() -> None:
    _, case, _ = shipped.parts("02")
    torn = Observation(number=0, who="AB", sign="gasket_torn_seen", answer="yes")
    acts = [Done(number=0, who="AB", act=act) for act in ("drained", "carrier_out")]
    found = come_back(case, *acts, torn)
    assert found.answers.causes[0].id == "gasket_torn"


def test_what_is_told_after_the_closing_is_told_of_it() -> None:
    _, case, _ = shipped.parts("02")
    told = Told(number=0, who="AB", group="opened_by", answer="own_shop")
    rows = [h for h in come_back(case, told).evidence.history if h.group == "opened_by"]
    assert [row.draw for row in rows] == [0, 0, 1]
    assert come_back(case, told).evidence.redraws[0].chance == shipped.diagnosis("02").shop.new_leak["gasket"]


def test_without_a_comeback_nothing_is_drawn_afresh() -> None:
    for name in shipped.NAMES:
        evidence = shipped.diagnosis(name[:2]).evidence
        assert not evidence.redraws
        assert not evidence.comebacks


def test_as_found_again() -> None:
    """What the acts of the first visit spoiled can be seen anew, and checks count as not made."""
    _, case, _ = shipped.parts("02")
    again = come_back(case).timeline
    assert not again.open
    assert not again.spoiled
    assert not again.must_drive_first
    assert not again.looked & shipped.knowledge().signs.keys()


def test_a_question_too_wide_alone_is_left_out_and_the_others_are_weighed(monkeypatch: pytest.MonkeyPatch) -> None:
    _, case, _ = shipped.parts("02")
    whole = Belief.outlook

    def narrow(self: Belief, questions: Sequence[tuple[str, ...]], paths: np.ndarray) -> list[Outlook]:
        if any("torque_pattern" in question for question in questions):
            raise TooWideError("too wide")
        return whole(self, questions, paths)

    monkeypatch.setattr(Belief, "outlook", narrow)
    asked = come_back(case).plan.checks
    assert asked
    assert not any("torque_pattern" in one.signs for one in asked)


def test_a_comeback_reported_twice_in_one_epoch_is_one() -> None:
    twice = two(comebacks=(Reported(1, JOINT), Reported(1, JOINT)))
    np.testing.assert_allclose(twice.leaking, two().leaking, rtol=0, atol=1e-12)
