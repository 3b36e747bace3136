"""Costs that a plan weighs looking against; one of nothing would make every look worth while for ever."""

from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.faults import Code


def check_costs(ground: Ground) -> None:
    """A check takes some time, and time costs a shop something."""
    for id, check in ground.checks.items():
        if ground.is_sound("checks", id) and not check.minutes[1]:
            right = "write how many minutes it takes, hands-on: [low, high]"
            ground.fault(Code.OUT_OF_RANGE, f"'{id}' takes no time at all", right, "checks", id, "minutes")
    for id, shop in ground.shops.items():
        if ground.is_sound("shops", id) and not shop.labour_rate + shop.downtime_rate:
            wrong = f"an hour of work and an hour of the truck standing both cost '{id}' nothing"
            right = "write what one of them costs, so that looking can be weighed against repairing"
            ground.fault(Code.OUT_OF_RANGE, wrong, right, "shops", id, "labour_rate")
