"""A diagram beside the engine alone on the same DOT text, and a PNG beside typst alone on the same SVG, in turns.

The engine is a process of its own, so both are measured by the clock; what else the machine does only ever adds.
``python -m pytest tests/benchmarks/test_diagram_speed.py -n 0``.
"""

import subprocess
from collections.abc import Callable, Sequence
from time import perf_counter

import pytest
import typst

from leakdx.diagrams.cause_map import map_dot, map_svg
from leakdx.diagrams.engine import engines
from leakdx.diagrams.justification import justification_dot, justification_svg
from leakdx.diagrams.png import png
from leakdx.diagrams.policy_tree import page_dot, page_svg
from leakdx.diagrams.reasoning import reasoning_dot, reasoning_svg
from leakdx.explain.policy_tree import Book
from leakdx.reasoning.decision_tree import Compiler
from tests.shipped import diagnosis, knowledge, parts

BAR, ROOM, ROUNDS = 2.0, 1.25, 7
"""How many times as long as the engine alone a diagram may take, and room for whatever else a machine does."""
BARE = b'#set page(width: auto, height: auto, margin: 0pt)\n#image(bytes(sys.inputs.svg), format: "svg")'
Both = tuple[Callable[[], str], Callable[[], bytes]]


def by_the_clock(calls: Sequence[Callable[[], object]], rounds: int) -> list[float]:
    """The least seconds of each, each round running all of them once."""
    taken = [float("inf")] * len(calls)
    for _ in range(rounds):
        for i, call in enumerate(calls):
            began = perf_counter()
            call()
            taken[i] = min(taken[i], perf_counter() - began)
    return taken


def reasons() -> Both:
    whole = parts("12")
    return lambda: reasoning_dot(*whole), lambda: reasoning_svg(*whole)


def one_cause() -> Both:
    made = diagnosis("12")
    leader = made.answers.causes[0].id
    return lambda: justification_dot(made, leader), lambda: justification_svg(made, leader)


def cause_map() -> Both:
    return lambda: map_dot(knowledge()), lambda: map_svg(knowledge())


def tree_page() -> Both:
    book = Book(knowledge(), Compiler(knowledge()).compile(diagnosis("12").case), "USD")
    return lambda: page_dot(book, 1), lambda: page_svg(book, 1)


@pytest.mark.parametrize("kind", [reasons, one_cause, cause_map, tree_page], ids=lambda kind: kind.__name__)
def test_a_diagram_beside_its_engine_alone(kind: Callable[[], Both], capsys: pytest.CaptureFixture[str]) -> None:
    dot, svg = kind()
    text, engine = dot().encode(), next(engines())

    def alone() -> object:
        return subprocess.run([engine, "-Tsvg"], input=text, capture_output=True, check=True)

    svg()
    ours, theirs = by_the_clock([svg, alone], ROUNDS)
    with capsys.disabled():
        print(f"\n{kind.__name__}: {1e3 * ours:.0f} ms, the engine alone {1e3 * theirs:.0f} ms, "
              f"{ours / theirs:.2f} times")  # fmt: skip
    assert ours / theirs <= ROOM * BAR


def test_a_png_beside_typst_alone(capsys: pytest.CaptureFixture[str]) -> None:
    made = reasoning_svg(*parts("12"))
    text = made.decode()

    def alone() -> object:
        return typst.compile(BARE, sys_inputs={"svg": text}, format="png", ppi=144.0, ignore_system_fonts=True)

    alone()
    ours, theirs = by_the_clock([lambda: png(made), alone], ROUNDS)
    with capsys.disabled():
        print(f"\nPNG: {1e3 * ours:.0f} ms, typst alone {1e3 * theirs:.0f} ms, {ours / theirs:.2f} times")
    assert ours / theirs <= ROOM * BAR
