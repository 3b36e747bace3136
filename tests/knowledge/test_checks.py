"""The checks that compute something: circles, and the ceilings of shares."""

from math import prod

from hypothesis import given
from hypothesis import strategies as st

from leakdx.knowledge.checks.order import find_cycles
from leakdx.knowledge.checks.shares import least_chance_of_report

NODES = st.sampled_from("abcdef")


@given(st.dictionaries(NODES, st.lists(NODES, max_size=3)))
def test_cycles_are_found_just_where_there_are_some(edges: dict[str, list[str]]) -> None:
    found = find_cycles(edges)
    reach = {(start, end) for start, ends in edges.items() for end in ends}
    for middle in "abcdef":
        reach |= {(a, d) for a, b in reach if b == middle for c, d in reach if c == middle}
    assert bool(found) == any((node, node) in reach for node in edges)
    for cycle in found:
        assert all(after in edges[before] for before, after in zip(cycle, (*cycle[1:], cycle[0]), strict=True))


def test_a_long_chain_is_no_trouble() -> None:
    assert find_cycles({f"n{number}": [f"n{number + 1}"] for number in range(20_000)}) == []


CAUSES = st.lists(st.tuples(st.floats(0.001, 0.95), st.floats(0.05, 1.0)), min_size=1, max_size=6)


@given(CAUSES, st.floats(0, 0.2))
def test_the_floor_under_the_chance_of_a_report_is_never_above_it(
    causes: list[tuple[float, float]], stray: float
) -> None:
    """Independent causes (chance to leak, chance that it is reported), enumerated by a product."""
    reported = 1 - (1 - stray) * prod(1 - p * link for p, link in causes)
    shares = []
    for number, (p, link) in enumerate(causes):
        others = (1 - stray) * prod(1 - q * other for at, (q, other) in enumerate(causes) if at != number)
        shares.append((p * (1 - (1 - link) * others) / reported, link))
    assert least_chance_of_report(shares) <= reported + 1e-7


def test_the_floor_bites_where_two_leaks_at_once_are_common() -> None:
    assert least_chance_of_report([(0.4, 1.0), (0.4, 1.0), (0.4, 1.0)]) > 0.3
    assert least_chance_of_report([(0.3, 1.0), (0.3, 1.0)]) == 0.0
