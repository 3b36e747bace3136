"""What must be so of knowledge beyond its shape. Each check is a function of a ``Ground``; all of them run."""

from collections.abc import Callable, Sequence

from leakdx.knowledge.checks.answers import check_answers
from leakdx.knowledge.checks.costs import check_costs
from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.checks.names import check_ids, check_references
from leakdx.knowledge.checks.order import check_cycles, check_phases, check_tables
from leakdx.knowledge.checks.rules import check_conclusions, check_conditions, check_strata
from leakdx.knowledge.checks.shares import check_common, check_shares
from leakdx.knowledge.checks.strengths import check_looks, check_measures, check_strays, check_units, check_worked_out
from leakdx.knowledge.checks.trade import check_trade
from leakdx.knowledge.checks.whole import check_whole
from leakdx.knowledge.convert import Reference

CHECKS: tuple[Callable[[Ground], None], ...] = (
    check_whole,
    check_ids,
    check_answers,
    check_looks,
    check_strays,
    check_measures,
    check_worked_out,
    check_units,
    check_cycles,
    check_phases,
    check_tables,
    check_common,
    check_shares,
    check_conditions,
    check_conclusions,
    check_strata,
    check_trade,
    check_costs,
)


def check_all(ground: Ground, references: Sequence[Reference]) -> None:
    """Runs every check; faults are gathered in the ground."""
    check_references(ground, references)
    for check in CHECKS:
        check(ground)
