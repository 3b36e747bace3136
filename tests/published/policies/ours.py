"""leakdx's own planner on a small instance."""

from msgspec import structs

from leakdx.reasoning.belief import Belief
from leakdx.reasoning.evidence import Evidence
from leakdx.reasoning.further import BUDGET, further
from leakdx.reasoning.planning import Plan, Planner, best_check
from tests.published.policies.instances import Instance, names
from tests.published.policies.optimum import STOP, State, Table
from tests.reasoning import tiny


class Ours:
    """What leakdx chooses, state by state. ``floor``: with the shop's floor and with what opens or spoils waiting."""

    def __init__(self, table: Table, *, floor: bool, budget: int = BUDGET) -> None:
        self.table, self.floor, self.budget = table, floor, budget
        self._plans: dict[State, Plan] = {}

    @property
    def instance(self) -> Instance:
        """The truck."""
        return self.table.instance

    def planner(self, state: State) -> Planner:
        """The planner of a state."""
        answers, opened = state
        of = self.instance.knowledge
        seen = tuple(tiny.yes(f"sign{k}") if a == 2 else tiny.no(f"sign{k}") for k, a in enumerate(answers) if a)
        left = {f"check{k}": (f"sign{k}",) for k, a in enumerate(answers) if not a}
        askable = tuple(sign for signs in left.values() for sign in signs)
        belief = Belief(self.instance.model, Evidence(of.complaint, signs=seen, askable=askable))
        shop = self.instance.shop if self.floor else structs.replace(self.instance.shop, floor_minutes=0.0)
        means = tiny.means(of, shop, open_now=frozenset(names(opened)))
        return Planner(of, means, belief, left)

    def plan(self, state: State) -> Plan:
        """What it makes of a state."""
        if state not in self._plans:
            planner = self.planner(state)
            self._plans[state] = further(planner, planner.plan(), self.budget)
        return self._plans[state]

    def choose(self, state: State) -> int:
        """The check that it wants, or STOP."""
        checks = self.plan(state).checks
        floor = self.planner(state).floor
        paying = [asked for asked in checks if asked.worth > 0]
        if not any(asked.worth > floor for asked in paying):
            return STOP
        chosen = best_check(paying, self.instance.knowledge) if self.floor else max(paying, key=lambda a: a.worth)
        assert chosen is not None
        return int(chosen.check.removeprefix("check"))

    def path(self, state: State) -> int:
        """The path that it takes, by its place among those of the instance."""
        priced = self.plan(state).priced
        actions = priced.paths[priced.best_first()[0]].actions
        return self.instance.paths.index(frozenset(int(action.removeprefix("repair")) for action in actions))
