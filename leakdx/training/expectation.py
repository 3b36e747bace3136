"""What a good diagnostician expects of a truck: the ``expect`` block of a case file, typed, each claim with its line.

Claims are few and sure: what the trade leaves open is left out. "One of these" is written as a list.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Literal, cast

from msgspec import Meta, Struct

from leakdx.errors import CaseError
from leakdx.knowledge.convert import FAULTY, Converter, Reference
from leakdx.knowledge.entry import (
    ActionId,
    CauseId,
    CautionId,
    CheckId,
    FamilyId,
    RepairId,
    ZoneId,
)
from leakdx.knowledge.faults import Code, Fault, Spot, in_order, suggest
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.knowledge.reader import Fields, Items, Node, Scalar, read_nodes
from leakdx.marks import Text

Role = Literal["plain", "disguised", "pair", "near_miss"]
"""What a case is for a cause: shown plainly; hidden by a tempting other; one of two; near, and must not lead."""
ROLES: tuple[Role, ...] = ("plain", "disguised", "pair", "near_miss")

Causes = tuple[CauseId, ...]
Actions = tuple[ActionId, ...]


class Expect(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The claims. One left out is not judged; a tuple holds what would do, any of them, unless it says otherwise."""

    because: Text | None = None
    """The trade's reasoning, in words."""
    serves: Mapping[Role, Causes] = {}
    fit_to_drive: tuple[Literal["yes", "recheck", "no", "not_judged"], ...] | None = None
    where: tuple[ZoneId, ...] | None = None
    """The likeliest zone when brought in."""
    leader: Causes | None = None
    """The likeliest cause when brought in."""
    not_leading: Causes | None = None
    """None of these is the likeliest."""
    family: tuple[FamilyId, ...] | None = None
    pair: Causes | None = None
    """Each of them above .5, leaking when brought in or present."""
    clear_at: tuple[Literal["cause", "family", "zone", "none"], ...] | None = None
    required: tuple[tuple[RepairId, ...], ...] | None = None
    """The recommended path holds one of each inner tuple."""
    at_most_extra: Annotated[int, Meta(ge=0)] | None = None
    """The most actions beyond the required ones."""
    none: bool | None = None
    """The recommended path is empty."""
    forbidden: Actions | None = None
    """A rule forbids each of them."""
    permitted: Actions | None = None
    """No rule forbids any of them outright."""
    holds_before: Actions | None = None
    looks_before: Mapping[ActionId, tuple[CheckId, ...]] | None = None
    """Before an action a hold asks for each of these checks."""
    decision: tuple[Literal["look_further", "repair", "release_and_recheck", "stop_and_ask"], ...] | None = None
    next_check: tuple[CheckId, ...] | None = None
    caution: tuple[CautionId, ...] | None = None
    """Each of them is shown, somewhere on the sheet."""
    caution_first: tuple[CautionId, ...] | None = None
    """Each of them is shown at the head of the sheet, for the state that the truck is in."""
    put_right: tuple[RepairId, ...] | None = None
    """A rule asks for each of them while it is open, though what it mends may be quiet."""
    proved: Causes | None = None
    """Each of them is proved by what was seen."""
    ruled_out: Causes | None = None
    """Each of them is ruled out by what was seen or told."""
    could_be_none: bool | None = None
    """Whether "could be none of these" is said."""


CLAIMS = tuple(field for field in Expect.__struct_fields__ if field not in ("because", "serves"))
_MAPS_OF_LISTS = ("serves", "looks_before")
_LISTS = (
    "fit_to_drive", "where", "leader", "not_leading", "family", "pair", "clear_at", "required", "forbidden",
    "permitted", "holds_before", "decision", "next_check", "caution", "caution_first", "put_right",
    "proved", "ruled_out",
)  # fmt: skip


class Expectation(Struct, frozen=True):
    """``expect`` of one file; ``spots``: where each claim stands."""

    expect: Expect
    spots: Mapping[str, Spot]


def read_expectation(path: Path, knowledge: Knowledge) -> Expectation | None:
    """The ``expect`` block of a case file; None where there is none.

    Raises CaseError with one line for each fault, ``file:line:column: what is wrong; what would be right``.
    """
    tree = read_nodes(path)
    root = tree.root
    node = root.get("expect") if isinstance(root, Fields) else None
    if node is None:
        if tree.faults:
            raise _refused(tree.faults)
        return None
    converter = Converter()
    made = converter.struct(_as_lists(node), Expect, node.spot, "expect")
    faults = [*converter.faults, *_unknown(converter.references, knowledge)]
    if made is FAULTY or faults:
        raise _refused(faults)
    spots = {key.text: key.spot for key, _ in cast(Fields, node).pairs}
    return Expectation(cast(Expect, made), spots)


def _as_lists(node: Node) -> Node:
    """One acceptable answer may be written without the brackets of a list."""
    if not isinstance(node, Fields):
        return node
    pairs = []
    for key, value in node.pairs:
        if key.text in _LISTS:
            value = _listed(value)
        if key.text == "required" and isinstance(value, Items):
            value = Items(tuple(_listed(item) for item in value.items), value.spot)
        if key.text in _MAPS_OF_LISTS and isinstance(value, Fields):
            value = Fields(tuple((name, _listed(some)) for name, some in value.pairs), value.spot)
        pairs.append((key, value))
    return Fields(tuple(pairs), node.spot)


def _listed(node: Node) -> Node:
    return Items((node,), node.spot) if isinstance(node, Scalar) and node.text else node


def _unknown(references: list[Reference], knowledge: Knowledge) -> list[Fault]:
    """Ids that the knowledge does not have."""
    faults = []
    for reference in references:
        known = {id for kind in reference.kinds for id in getattr(knowledge, kind)}
        if "causes" in reference.kinds:
            known.add(NOT_LISTED)
        if reference.text not in known:
            wrong = f"the knowledge has no '{reference.text}' among its {' or '.join(reference.kinds)}"
            faults.append(Fault(reference.spot, Code.UNKNOWN_ID, wrong, suggest(reference.text, known)))
    return faults


def _refused(faults: list[Fault] | tuple[Fault, ...]) -> CaseError:
    return CaseError("\n".join(f"{fault.spot}: {fault.sentence}" for fault in in_order(faults)))
