"""Base chances from shares, and where the solution is kept."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from leakdx.knowledge.lint import mean_count
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning import shares
from leakdx.reasoning.belief import Belief, Evidence, compile_model
from leakdx.reasoning.compiled import Array, Model, compile_links
from leakdx.reasoning.shares import ShareError, solve
from tests.reasoning.tiny import JOINT, cause, knowledge, zone


def small(hash: str = "") -> Knowledge:
    """Three causes in two zones, one leading to another, and not listed."""
    return knowledge(
        {
            "a": cause(50, leaks=0.6, leads_to={"b": 0.12}),
            "b": cause(30, leaks=0.8),
            "c": cause(25, zone="far", also={JOINT: 0.35}),
        },
        zones={JOINT: zone(), "far": zone({JOINT: 0.35})},
        not_listed=(2.0, 0.6, 0.06),
        hash=hash,
    )


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.lists(st.floats(2, 40), min_size=3, max_size=6),
    st.floats(1.04, 1.3),
    st.lists(st.sampled_from([1.0, 0.6, 0.8]), min_size=6, max_size=6),
)
def test_after_the_complaint_alone_every_cause_leaks_with_its_share(
    weights: list[float], mean: float, leaks: list[float]
) -> None:
    percent = np.array(weights) / sum(weights) * 100 * (mean - 0.02)
    if percent.max() > 45:
        return
    causes = {f"c{i}": cause(share, leaks=leaks[i], zone=JOINT if i % 2 else "far") for i, share in enumerate(percent)}
    k = knowledge(causes, zones={JOINT: zone(), "far": zone({JOINT: 0.6})}, not_listed=(2.0, 0.6, 0.06))
    after = Belief(compile_model(k), Evidence(JOINT)).leaking
    np.testing.assert_allclose(after, [*(percent / 100), 0.02], atol=1e-9)
    assert mean_count(k) == pytest.approx(mean)


def test_a_cause_that_others_lead_to_stands_at_its_share_too() -> None:
    np.testing.assert_allclose(
        Belief(compile_model(small()), Evidence(JOINT)).leaking, [0.5, 0.3, 0.25, 0.02], atol=1e-9
    )


def test_parents_that_alone_exceed_a_share_are_named() -> None:
    k = knowledge({"a": cause(90, leads_to={"b": 0.95}), "b": cause(20)})
    with pytest.raises(ShareError, match="cause b: the causes that lead to it alone make it leak") as raised:
        solve(compile_links(k))
    assert set(raised.value.reasons) == {"b"}


def test_a_share_beyond_how_often_it_leaks_is_named() -> None:
    """Quiet when present nine times in ten, and hardly reaching the joint: half of all wet axles is too much."""
    k = knowledge(
        {"a": cause(60), "b": cause(50, leaks=0.1, zone="far")}, zones={JOINT: zone(), "far": zone({JOINT: 0.03})}
    )
    with pytest.raises(ShareError, match="cause b: a share of 50 of 100 wet axles cannot be met") as raised:
        compile_model(k)
    assert set(raised.value.reasons) == {"b"}


def test_base_chances_may_be_given() -> None:
    model = compile_model(small(), {"a": 0.1, "b": 0.0, "c": 1.0, NOT_LISTED: 0.5})
    np.testing.assert_allclose(1 / (1 + np.exp(-model.log_odds)), [0.1, 0.0, 1.0, 0.5])


@pytest.fixture
def solved(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[int]:
    """Counts solutions, in a cache folder of its own."""
    calls: list[int] = []

    def spy(model: Model) -> Array:
        calls.append(1)
        return solve(model)

    monkeypatch.setenv("LEAKDX_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(shares, "solve", spy)
    return calls


def test_a_solution_is_kept_and_found_again(solved: list[int], tmp_path: Path) -> None:
    first = compile_model(small("abc"))
    again = compile_model(small("abc"))
    assert len(solved) == 1
    np.testing.assert_array_equal(first.log_odds, again.log_odds)
    assert [f.name for f in (tmp_path / "cache").iterdir()] == ["shares-abc.json"]


@pytest.mark.parametrize("spoil", ["", "{", "[]", "null", '{"a": 1}', '{"a": "x", "b": 0, "c": 0, "not_listed": 0}'])
def test_a_spoilt_file_is_solved_anew(solved: list[int], tmp_path: Path, spoil: str) -> None:
    kept = compile_model(small("abc"))
    (tmp_path / "cache" / "shares-abc.json").write_text(spoil, "utf-8")
    np.testing.assert_array_equal(compile_model(small("abc")).log_odds, kept.log_odds)
    assert len(solved) == 2


def test_a_solution_of_another_model_is_not_believed(solved: list[int], tmp_path: Path) -> None:
    compile_model(small("abc"))
    file = tmp_path / "cache" / "shares-abc.json"
    file.write_text(json.dumps({c: x + 0.01 for c, x in json.loads(file.read_text("utf-8")).items()}), "utf-8")
    after = Belief(compile_model(small("abc")), Evidence(JOINT)).leaking
    np.testing.assert_allclose(after, [0.5, 0.3, 0.25, 0.02], atol=1e-9)
    assert len(solved) == 2


def test_a_folder_that_cannot_be_written_only_costs_time(
    solved: list[int], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("", "utf-8")
    monkeypatch.setenv("LEAKDX_CACHE", str(tmp_path / "file"))
    compile_model(small("abc"))
    compile_model(small("abc"))
    assert len(solved) == 2


def test_knowledge_from_no_files_is_not_kept(solved: list[int], tmp_path: Path) -> None:
    compile_model(small())
    assert not (tmp_path / "cache").exists()


def test_an_empty_name_keeps_nothing(solved: list[int], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("LEAKDX_CACHE", "")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    compile_model(small("abc"))
    compile_model(small("abc"))
    assert len(solved) == 2
    assert list(tmp_path.iterdir()) == []
