"""The simulation's figures, from outcomes written by hand."""

import math

import pytest
from msgspec.structs import replace

from tests.published import figures, tables
from tests.published.figures import Figure
from tests.published.worked import Outcome, Refused

TRUCK = Outcome(
    number=1, did="repair", said=0.8, held=True, right=True, leaked=("a",),
    ranked=(("a", 0.7), ("b", 0.2), ("not_listed", 0.1)),
    warned=False, actions=("mend",), steps=2, looking=30.0, loss=200.0, least_loss=150.0,
)  # fmt: skip
WRONG = replace(TRUCK, leaked=("b",), held=False, right=False, loss=900.0)
STOPPED = replace(TRUCK, did="stop_and_ask", said=0.0, held=False, right=False, leaked=("not_listed",), warned=True)


def test_brier_is_the_squared_distance_over_all_causes() -> None:
    assert figures.brier(TRUCK) == pytest.approx(0.3**2 + 0.2**2 + 0.1**2)
    assert figures.brier(WRONG) == pytest.approx(0.7**2 + 0.8**2 + 0.1**2)


def test_a_cause_that_leaks_and_is_not_known_counts_in_full() -> None:
    assert figures.brier(replace(TRUCK, leaked=("a", "unheard_of"))) == pytest.approx(figures.brier(TRUCK) + 1)


def test_a_figure_is_a_mean_with_its_standard_error() -> None:
    assert figures.figure([1, 2, 3, None]) == pytest.approx((2.0, 1 / math.sqrt(3), 3))
    assert figures.figure([]).number == 0
    assert math.isnan(figures.figure([1]).error)


def test_a_cell_shows_both() -> None:
    assert figures.cell(Figure(10.25, 0.5, 9), 2) == "10.25 ± .50"
    assert figures.cell(Figure(0.25, 0.05, 9), 2) == ".25 ± .05"
    assert figures.cell(Figure(-0.25, 0.05, 9), 2) == "-.25 ± .05"
    assert figures.cell(Figure(0.0, 0.0, 9), 0) == "0 ± 0"
    assert figures.cell(Figure(1.0, math.nan, 1), 2) == "1.00 ± ?"
    assert figures.cell(figures.figure([])) == "-"


def test_a_clear_cause_that_did_not_leak_is_wrongly_sure() -> None:
    assert WRONG.wrongly_sure == "a"
    assert TRUCK.wrongly_sure is None
    assert replace(WRONG, ranked=(("a", 0.59), ("b", 0.1))).wrongly_sure is None
    assert replace(WRONG, ranked=(("not_listed", 0.9),)).wrongly_sure is None


def test_cost_above_knowing_counts_the_looking() -> None:
    assert TRUCK.above == 80
    assert WRONG.above == 780


def test_where_it_stops_to_ask_nothing_is_said_to_hold() -> None:
    assert figures.repaired([TRUCK, STOPPED, Refused(1, "no")]) == [TRUCK]
    measures = {m.title: m.of for m in figures.MEASURES}
    assert measures["right repair"](STOPPED) is None
    assert measures["above knowing"](STOPPED) == 80


def test_groups_are_equal_in_count_and_in_order_of_what_was_said() -> None:
    trucks = [replace(TRUCK, said=n / 100, held=n >= 50) for n in range(100)]
    groups = figures.groups(trucks[::-1])
    assert [said.number for said, _ in groups] == [10] * 10
    assert [held.mean for _, held in groups] == [0] * 5 + [1] * 5
    assert groups[0][0].mean == pytest.approx(0.045)


def test_chances_of_causes_are_grouped_by_what_was_said() -> None:
    groups = figures.belief_groups([TRUCK, WRONG])
    assert [(said.number, so.mean) for said, so in groups] == [(2, 0.0), (2, 0.5), (2, 0.5)]


def test_a_truck_counts_with_every_cause_that_leaked_in_it() -> None:
    both = replace(TRUCK, leaked=("a", "b"))
    assert {c: len(trucks) for c, trucks in figures.by_cause([TRUCK, WRONG, both]).items()} == {"a": 2, "b": 2}
    assert figures.taken_for([TRUCK, WRONG, WRONG, STOPPED]) == "a 3"
    assert figures.sure_of([TRUCK, WRONG, WRONG]) == "a 2"


@pytest.mark.parametrize("style", [tables.PLAIN, tables.MARKDOWN])
def test_every_table_has_its_rows(style: tables.Style) -> None:
    said = tables.unchanged({1: [TRUCK, WRONG], 2: [STOPPED, Refused(7, "It broke.")]}, style)
    assert "refused truck 7: It broke." in said
    assert all(part in said for part in ("seed 1", "seed 2", "together", "first leaked", "Decisions: repair 2"))
    compared = tables.worlds({"unchanged": ("as is", [TRUCK]), "other": ("changed", [WRONG])}, style)
    assert "- other: changed." in compared
    assert "700 ± ?" in compared
    lost = tables.unknown([tables.Unknown("b", [TRUCK], [WRONG], [STOPPED])], style)
    assert "a 1" in lost


def test_a_table_of_markdown_has_as_many_cells_in_every_line() -> None:
    said = tables.worlds({"unchanged": ("as is", [TRUCK]), "other": ("changed", [WRONG])}, tables.MARKDOWN)
    lines = [line for line in said.splitlines() if line.startswith("|")]
    assert {line.count("|") for line in lines} == {4}
