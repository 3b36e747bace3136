"""The diagram of a case: what stands on it, safe text, the same bytes each time."""

import hashlib
import os
import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.diagrams.engine import svg
from leakdx.diagrams.picture import Edge, Node, Picture, dot_text, folded
from leakdx.diagrams.reasoning import MOST_NODES, reasoning_dot, reasoning_svg
from leakdx.reasoning.diagnosis import diagnose
from tests.hostile import hostile
from tests.shipped import NAMES, diagnosis, flat, knowledge, parts, stopped

SVG = "{http://www.w3.org/2000/svg}"


def texts(picture: bytes) -> str:
    """All text of a picture that can be selected, as one line."""
    root = ElementTree.fromstring(picture)
    return flat(" ".join(found.text or "" for found in root.iter(f"{SVG}text")))


@pytest.mark.parametrize("name", NAMES)
def test_leader_orders_and_next_step_stand_on_the_picture(name: str) -> None:
    answers = diagnosis(name).answers
    said = texts(reasoning_svg(*parts(name)))
    assert answers.causes[0].name in said
    assert "strongly for" in said or "weakly for" in said
    assert any(head in said for head in ("NEXT CHECK", "REPAIR", "NOTHING TO REPAIR NOW", "STOP AND ASK"))
    assert ("TO DRIVE" in said) == (answers.fit_to_drive.by is not None)
    assert said.count("HOLD") == min(len(answers.holds), 4)
    assert ("HOLD: 1 more" in said) == (len(answers.holds) == 4)
    assert "solid speaks for, broken with a bar speaks against" in said


@pytest.mark.parametrize("name", NAMES)
def test_never_more_nodes_than_a_page_bears(name: str) -> None:
    dot = reasoning_dot(*parts(name))
    assert len(set(re.findall(r"^\s*(n\d+) \[label", dot, re.MULTILINE))) <= MOST_NODES


def test_what_is_on_it_can_be_read_without_colour() -> None:
    dot = reasoning_dot(*parts("02"))
    colours = set(re.findall(r'(?:fill|font|bg)?color="?([^"\s\]]+)', dot))
    assert all(c in ("white", "black") or re.fullmatch(r"#(..)\1\1", c) for c in colours)
    assert "bgcolor=white" in dot


def test_the_same_bytes_under_any_hash_seed() -> None:
    code = (
        "import hashlib\nfrom tests.shipped import parts\nfrom leakdx.diagrams.reasoning import reasoning_dot\n"
        "print(hashlib.sha256(''.join(reasoning_dot(*parts(n)) for n in ('01', '02')).encode()).hexdigest())"
    )
    here = hashlib.sha256("".join(reasoning_dot(*parts(n)) for n in ("01", "02")).encode()).hexdigest()
    for seed in ("1", "2", "77"):
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=environment)
        assert done.stdout.strip() == here


def test_stop_and_ask_is_drawn() -> None:
    assert "STOP AND ASK THE AXLE MAKER" in texts(reasoning_svg(*stopped()))


def test_hostile_text_stays_text() -> None:
    case = hostile(diagnosis("01").case)
    made = diagnose(knowledge(), case)
    dot = reasoning_dot(knowledge(), case, made)
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202e]", dot)
    picture = reasoning_svg(knowledge(), case, made)
    root = ElementTree.fromstring(picture)
    assert not [element.tag for element in root.iter() if "script" in element.tag.lower()]
    said = texts(picture)
    assert "<script>alert(1)</script>" in said
    assert "&lt;b&gt; &amp;" in said
    assert "\\N \\G \\n <b>bold</b>" in said


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)


@given(st.lists(TEXT, min_size=1, max_size=4))
def test_any_text_makes_a_sound_dot_text(words: list[str]) -> None:
    nodes = tuple(Node(("seen", str(n)), "seen", word) for n, word in enumerate(words))
    edges = tuple(Edge(("seen", "0"), node.key, node.text) for node in nodes)
    dot = dot_text(Picture(words[0], (), nodes, edges))
    assert dot.count("{") - dot.count("}") == sum(w.count("{") - w.count("}") for w in _shown(words, nodes))


def _shown(words: list[str], nodes: tuple[Node, ...]) -> list[str]:
    """Every text as often as it stands in the picture: title, labels of nodes, words of edges."""
    return [words[0], *words, *(word for word in words if word)]


def test_odd_labels_are_drawn_as_they_are() -> None:
    odd = ["<b>", "<table>", "a:b", "\\", 'say "hi"', "&#60;", "{a|b}", "%", "n1 -> n2", "graph"]
    nodes = tuple(Node(("seen", str(n)), "seen", word) for n, word in enumerate(odd))
    said = texts(svg(dot_text(Picture("odd", (), nodes, ()))))
    assert all(word in said for word in odd)


def test_the_weakest_are_folded_and_counted() -> None:
    nodes = tuple(Node(("seen", str(n)), "seen", f"answer {n}", float(n)) for n in range(60))
    cause = Node(("cause", "c"), "cause", "a cause", 99.0)
    edges = tuple(Edge(node.key, cause.key) for node in nodes)
    small = folded(Picture("t", (), (*nodes, cause), edges), 40, {"seen": "answers"})
    assert len(small.nodes) == 40
    assert ("seen", "59") in {node.key for node in small.nodes}
    assert ("seen", "0") not in {node.key for node in small.nodes}
    assert "and 22 more answers, each weaker" in {node.text for node in small.nodes}
    assert dot_text(small).count("->") == 38
    same = Picture("t", (), (cause,), ())
    assert folded(same, 40, {"seen": "answers"}) == same
