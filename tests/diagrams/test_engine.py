"""The layout engine: the system's, the embedded one, and none."""

import stat
from pathlib import Path
from xml.etree import ElementTree

import pytest

from leakdx.diagrams import engine

SMALL = 'digraph { n1 [label="one"]; n1 -> n2 }'


def fake(folder: Path, script: str) -> str:
    path = folder / "dot"
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return str(path)


def test_the_embedded_engine_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("leakdx.diagrams.engine.shutil.which", lambda _: None)
    made = engine.svg(SMALL)
    root = ElementTree.fromstring(made)
    assert root.tag.endswith("svg")
    assert b"DOCTYPE" not in made
    assert "one" in "".join(root.itertext())


def test_the_systems_engine_goes_first_and_a_broken_one_is_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    good = fake(tmp_path, "echo '<svg>by the system</svg>'")
    monkeypatch.setattr("leakdx.diagrams.engine.shutil.which", lambda name: good if name == engine.SYSTEM else None)
    assert b"by the system" in engine.svg(SMALL)
    fake(tmp_path, "echo broken >&2; exit 3")
    assert b"<svg width" in engine.svg(SMALL)


def test_no_engine_and_only_broken_ones_are_said_in_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "_embedded", lambda: None)
    monkeypatch.setattr("leakdx.diagrams.engine.shutil.which", lambda _: None)
    with pytest.raises(engine.DiagramError, match="pip install graphviz-pure"):
        engine.svg(SMALL)
    bad = fake(tmp_path, "echo no such font >&2; exit 3")
    monkeypatch.setattr("leakdx.diagrams.engine.shutil.which", lambda name: bad if name == engine.SYSTEM else None)
    with pytest.raises(engine.DiagramError, match="no such font"):
        engine.svg(SMALL)


def test_an_engine_that_hangs_is_given_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    slow = fake(tmp_path, "exec sleep 20")
    monkeypatch.setattr(engine, "TIMEOUT_SECONDS", 0.2)
    monkeypatch.setattr(engine, "_embedded", lambda: None)
    monkeypatch.setattr("leakdx.diagrams.engine.shutil.which", lambda name: slow if name == engine.SYSTEM else None)
    with pytest.raises(engine.DiagramError, match="did not finish"):
        engine.svg(SMALL)


def test_what_is_too_large_is_refused_before_it_is_run() -> None:
    with pytest.raises(engine.DiagramError, match="too large"):
        engine.svg("x" * (engine.LARGEST_BYTES + 1))
