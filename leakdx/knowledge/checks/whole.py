"""What a knowledge cannot do without."""

from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.draft import COMPLAINT, WORDS
from leakdx.knowledge.faults import Code, Fault

_PLACE_SIGNS = ("reported", "wet", "origin", "trail")
_NEEDED = (WORDS, "zones", "families", "causes", "signs", "shops", COMPLAINT)


def check_whole(ground: Ground) -> None:
    """Kinds that must be there, all place signs, and a chance of a new leak for every way of closing the joint."""
    for kind in _NEEDED:
        if not ground.draft.ids(kind):
            wrong = f"the knowledge has no '{kind}'"
            ground.faults.append(
                Fault(ground.draft.file, Code.NOT_WHOLE, wrong, f"write '{kind}:' in one of its files")
            )
    _check_place_signs(ground)
    closings = sorted({repair.closes for repair in ground.repairs.values() if repair.closes is not None})
    for id, shop in ground.shops.items():
        for closing in closings:
            if closing not in shop.new_leak and ground.is_sound("shops", id):
                wrong = f"'{id}' does not say how often a joint closed by {closing} leaks anew"
                ground.fault(Code.NOT_WHOLE, wrong, f"write '{closing}: chance' there", "shops", id, "new_leak")
    for id, cause in ground.causes.items():
        if cause.zone in cause.also_zones:
            wrong = f"'{id}' names its first zone again among its further ones"
            ground.fault(Code.NOT_ALLOWED, wrong, "leave it out there", "causes", id, "also_zones", cause.zone)


def _check_place_signs(ground: Ground) -> None:
    for sign in _PLACE_SIGNS:
        if ground.words is not None and sign not in ground.words.place_signs:
            right = f"write '{sign}: {{link: word, stray: word}}' there"
            ground.fault(Code.NOT_WHOLE, f"'place_signs' lacks '{sign}'", right, WORDS, "place_signs")
