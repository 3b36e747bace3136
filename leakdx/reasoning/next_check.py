"""The next check in the words and numbers that people see."""

from leakdx.knowledge.model import Knowledge
from leakdx.reasoning import ties
from leakdx.reasoning.answer import NextCheck, Outcome
from leakdx.reasoning.planning import Asked, Planner


def spoken(planner: Planner, asked: Asked) -> NextCheck:
    """A weighed check as it is shown."""
    outcomes = _outcomes(planner, asked)
    return _shown(planner, asked.check, asked.opens, asked.worth, _why(planner.knowledge, outcomes), outcomes)


def demanded(planner: Planner, check: str, why: str, asked: Asked | None) -> NextCheck:
    """A check that a hold or a repair demands, whatever it gains; ``asked``: its own weight, if weighed."""
    opens = planner.opens(planner.knowledge.checks[check])
    outcomes = _outcomes(planner, asked) if asked else ()
    return _shown(planner, check, opens, asked.worth if asked else 0.0, why, outcomes)


def _shown(
    planner: Planner, check: str, opens: frozenset[str], net_value: float, why: str, outcomes: tuple[Outcome, ...]
) -> NextCheck:
    knowledge = planner.knowledge
    entry = knowledge.checks[check]
    opened = tuple(o for o in knowledge.openings if o in opens)
    access = [knowledge.openings[o].minutes for o in opened]
    access_minutes = (sum(m[0] for m in access), sum(m[1] for m in access))
    minutes = (entry.minutes[0] + access_minutes[0], entry.minutes[1] + access_minutes[1])
    cautions = [c for o in opened for c in knowledge.openings[o].cautions] + list(entry.cautions)
    return NextCheck(
        id=check,
        name=entry.name,
        question=entry.question,
        how=entry.how,
        tools=entry.tools,
        minutes=minutes,
        access_minutes=access_minutes,
        opens=opened,
        cautions=tuple(dict.fromkeys(cautions)),
        spoils=tuple(dict.fromkeys((*(s for o in opened for s in knowledge.openings[o].spoils), *entry.spoils))),
        net_value=net_value,
        per_minute=net_value / max(sum(minutes) / 2, 1.0),
        why=why,
        outcomes=outcomes,
    )


def _outcomes(planner: Planner, asked: Asked) -> tuple[Outcome, ...]:
    """Joint results of the check, likeliest first, with what each would point to."""
    found = []
    for row, answers in enumerate(asked.outlook.answers):
        first = asked.outlook.leaking_first[row]
        leader = ties.likeliest(first)
        found.append(
            Outcome(
                answers=dict(zip(asked.signs, answers, strict=True)),
                probability=float(asked.outlook.probability[row]),
                leader=planner.belief.causes[leader],
                leader_probability=float(first[leader]),
                repair=asked.paths[asked.best[row]].actions,
                p_hold=float(asked.outlook.hold[row, asked.best[row]]) * (1 - asked.paths[asked.best[row]].new_leak),
                then=asked.then[row] if asked.then else None,
            )
        )
    return tuple(sorted(found, key=lambda o: -ties.chance(o.probability)))


def _why(knowledge: Knowledge, outcomes: tuple[Outcome, ...]) -> str:
    """What the answer would decide, in one sentence."""
    repairs = list(dict.fromkeys(_repair(knowledge, o) for o in outcomes))
    if len(repairs) > 1:
        return f"Its answer decides between {' or '.join(repairs[:3])}."
    return f"Its answer changes how sure we can be of: {repairs[0]}."


def _repair(knowledge: Knowledge, found: Outcome) -> str:
    if found.then is not None:
        return f"looking further ({knowledge.name(found.then)})"
    if not found.decides:
        return "looking further"
    return " with ".join(knowledge.name(a) for a in found.repair) or "nothing to repair now"
