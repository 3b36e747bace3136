"""Hints of lint: what is sound and yet looks wrong. Each code has a heading in docs/knowledge_lint.md."""

from enum import StrEnum

from leakdx.knowledge.faults import Fault, Spot


class Hint(StrEnum):
    """L5 is found by reading the files, L6 (``check --deep``) by thinking them through."""

    MEAN_COUNT = "L501"
    UNUSED_SIGN = "L502"
    NO_CHECK = "L503"
    NOT_TOLD_APART = "L504"
    NEAR_TWINS = "L505"
    UNUSED_WORD = "L506"
    UNUSED_ENTRY = "L507"
    NEVER_STATED = "L508"
    NO_REPAIR = "L509"

    NEVER_FIRES = "L601"
    CONTRADICTS = "L602"
    NO_CHECK_TELLS = "L603"
    HIDES_ANOTHER = "L604"
    CHECK_NOT_CHOSEN = "L605"
    NEVER_BEST = "L606"
    LIFTS_THE_COUNT = "L607"
    VOTES_TWICE = "L608"
    TOO_WIDE = "L609"
    THIN_REASON = "L610"


def spot_of(at: str) -> Spot:
    """The place behind an entry's ``at`` (``file:line:column``)."""
    file, line, column = at.rsplit(":", 2)
    return Spot(file, int(line), int(column))


def hint(at: str, code: Hint, wrong: str, right: str) -> Fault:
    """A hint at the place of an entry."""
    return Fault(spot_of(at), code.value, wrong, right)
