"""The map of the knowledge: each cause once in its zone, each way of oil, and one zone by itself."""

import re
from xml.etree import ElementTree

import pytest

from leakdx.diagrams.cause_map import map_dot, map_svg
from leakdx.errors import UsageError
from tests.diagrams.test_reasoning import texts
from tests.shipped import knowledge


def edges(dot: str) -> list[str]:
    return [line for line in re.findall(r"n\d+ -> n\d+[^\n]*", dot) if "invis" not in line]


def test_every_cause_stands_once_in_its_zone_and_every_way_of_oil_is_a_line_or_said_where_it_only_collects() -> None:
    known = knowledge()
    said = texts(map_svg(known))
    for cause in known.causes.values():
        first = " ".join(f"{cause.share:g} {cause.name}".split()[:3])
        assert first in said
    ways = [(place, word) for entry in known.zones.values() for place, word in entry.paths.items()]
    assert len(edges(map_dot(known))) == sum(place in known.zones for place, _ in ways)
    collects = [f"{word}: {known.name(place)}" for place, word in ways if place not in known.zones]
    assert collects
    assert all(said.count(words) == collects.count(words) for words in collects)


def test_one_zone_shows_what_its_causes_show_by_how_often() -> None:
    known = knowledge()
    dot = map_dot(known, "pinion seal")
    said = texts(map_svg(known, "pinion_seal"))
    causes = {id: c for id, c in known.causes.items() if "pinion_seal" in (c.zone, *c.also_zones)}
    assert len(re.findall(r"^\s*n\d+ \[label", dot, re.MULTILINE)) == len(causes)
    inside = sum(other in causes for cause in causes.values() for other in cause.leads_to)
    assert len(edges(dot)) == inside
    assert "mostly: a ring of flung oil round the yoke" in said


def test_the_same_each_time_without_colour() -> None:
    assert map_dot(knowledge()) == map_dot(knowledge())
    colours = set(re.findall(r'(?:fill|font|bg)?color="?([^"\s\]]+)', map_dot(knowledge(), "carrier_joint")))
    assert all(c in ("white", "black") or re.fullmatch(r"#(..)\1\1", c) for c in colours)
    ElementTree.fromstring(map_svg(knowledge(), "carrier_joint"))


def test_a_zone_that_is_not_there() -> None:
    with pytest.raises(UsageError, match="there is no zone 'pinion_seel'; did you mean 'pinion_seal'"):
        map_dot(knowledge(), "pinion_seel")
