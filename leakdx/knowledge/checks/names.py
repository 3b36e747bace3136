"""Every id that is named must be defined, and be the only one of its name."""

from collections.abc import Sequence

from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.convert import Reference
from leakdx.knowledge.draft import kinds
from leakdx.knowledge.faults import Code, Fault, suggest
from leakdx.knowledge.model import NOT_LISTED
from leakdx.knowledge.place_signs import PREFIXES
from leakdx.marks import PLAIN_MARKS

_SINGULAR = {
    "zones": "zone", "places": "place", "families": "family", "causes": "cause", "signs": "sign",
    "history": "history group", "instruments": "instrument", "cautions": "caution", "openings": "opening",
    "acts": "act", "checks": "check", "repairs": "repair", "findings": "finding", "marks": "mark",
    "words.links": "word for a link", "words.strays": "word for a stray", "words.shifts": "word for a shift",
    "words.transfers": "transfer word",
}  # fmt: skip

_APART = (
    ("causes", "families"),
    ("acts", "repairs"),
    ("checks", "repairs"),
    ("checks", "acts"),
    ("checks", "openings"),
    ("openings", "repairs"),
    ("signs", "history"),
    ("places", "zones"),
)
"""Kinds between which a name must be unique, since a field may name an entry of either."""

_RESERVED = {NOT_LISTED: ("causes", "families"), "any": ("zones", "places")}


def check_references(ground: Ground, references: Sequence[Reference]) -> None:
    """Ids, marks and words that nothing defines."""
    by_kinds: dict[tuple[str, ...], frozenset[str]] = {}
    for reference in references:
        if reference.kinds not in by_kinds:
            by_kinds[reference.kinds] = frozenset(id for kind in reference.kinds for id in known_ids(ground, kind))
        known = by_kinds[reference.kinds] | set(reference.others)
        if reference.text in known:
            continue
        what = " or ".join(_SINGULAR.get(kind, kind) for kind in reference.kinds)
        wrong = f"there is no {what} '{reference.text}'"
        ground.faults.append(Fault(reference.spot, _code(reference), wrong, suggest(reference.text, known)))


def known_ids(ground: Ground, kind: str) -> tuple[str, ...]:
    """What a reference to ``kind`` may name."""
    if kind == "marks":
        return (*PLAIN_MARKS, *ground.draft.ids("sources"))
    if kind == "words.shifts":
        return tuple(f"{degree} {way}" for degree in ground.draft.ids(kind) for way in ("more", "less"))
    if kind == "places":
        return ground.place_ids
    return (*ground.draft.ids(kind), *(ground.made_signs if kind == "signs" else ()))


def _code(reference: Reference) -> Code:
    if reference.kinds[0] == "marks":
        return Code.UNKNOWN_MARK
    return Code.UNKNOWN_WORD if reference.kinds[0].startswith("words.") else Code.UNKNOWN_ID


def check_ids(ground: Ground) -> None:
    """Ids that two kinds share, and ids that are kept for the loader."""
    for first, second in _APART:
        for id in ground.draft.ids(second):
            if id in ground.draft.ids(first):
                there = ground.draft.spot(first, id)
                wrong = f"'{id}' is the id of a {_SINGULAR[second]} and, at {there}, of a {_SINGULAR[first]}"
                ground.fault(Code.AMBIGUOUS_ID, wrong, "give one of them another id", second, id)
    for reserved, where in _RESERVED.items():
        for kind in where:
            if reserved in ground.draft.ids(kind):
                wrong = f"'{reserved}' is kept for the program"
                ground.fault(Code.MADE_BY_LOADER, wrong, "give it another id", kind, reserved)
    _check_hand_written_place_signs(ground)


def _check_hand_written_place_signs(ground: Ground) -> None:
    for kind in kinds():
        for id in ground.draft.ids(kind):
            if id.startswith(PREFIXES):
                right = "leave it out, zones and their paths make it"
                ground.fault(Code.MADE_BY_LOADER, f"'{id}' is a sign that the loader makes", right, kind, id)
    for id, cause in ground.causes.items():
        for field, shown in (("shows", cause.shows), ("looks", cause.looks)):
            for sign in set(shown) & ground.made_signs:
                right = "leave it out, its zone and the paths say where oil shows"
                wrong = f"'{id}' is linked to the place sign '{sign}'"
                ground.fault(Code.MADE_BY_LOADER, wrong, right, "causes", id, field, sign)
