"""Doubt of an instrument or an act: which answers of a log rely on it.

An instrument: answers to signs that only checks with it reveal, before the doubt and after, until it was calibrated
anew. Where it was used before the doubt, what comes after is by another one if it names another tool, or is a second
look at what was answered before: nobody takes that with the tool that he distrusts. An act: what could be seen only
through its last doing before the doubt, until it was done again: signs that need what it brings about, and those
that it hides until the truck has been driven.
"""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from leakdx.case import NO_INFORMATION, Done, Doubt, LogEntry, Measurement, Observation, Reading
from leakdx.knowledge.model import Act, Knowledge
from leakdx.reasoning.looks import looks_of

Look = tuple[int, str]
"""(entry, sign)."""
_BY_TOOL = Observation | Reading | Measurement


class StandingDoubt(Struct, frozen=True, kw_only=True):
    """A doubt that stands. ``id``: what it is known by; ``touches``: the looks that rely on what it names."""

    entry: int
    id: str
    of: str
    tool: str
    chance: float
    matters: bool
    """It is more than what is always doubted of such an instrument: what rests on it is not sure."""
    touches: frozenset[Look]

    @property
    def entries(self) -> tuple[int, ...]:
        """Entries that rely on it, in order."""
        return tuple(sorted({entry for entry, _ in self.touches}))


def standing_doubts(knowledge: Knowledge, standing: Sequence[LogEntry]) -> tuple[StandingDoubt, ...]:
    """The doubts of a log, the last one for each thing, in order of entry; a doubt of nought is none."""
    last = {(e.doubt, e.tool.casefold()): e for e in standing if isinstance(e, Doubt)}
    doubts = sorted((e for e in last.values() if e.chance > 0), key=lambda e: e.number)
    return tuple(_standing(knowledge, doubt, standing) for doubt in doubts)


def relied_on(doubts: Sequence[StandingDoubt]) -> Mapping[Look, tuple[str, ...]]:
    """Look -> the doubts that bear on it."""
    found: dict[Look, tuple[str, ...]] = {}
    for doubt in doubts:
        for look in sorted(doubt.touches):
            found[look] = (*found.get(look, ()), doubt.id)
    return found


def _standing(knowledge: Knowledge, doubt: Doubt, standing: Sequence[LogEntry]) -> StandingDoubt:
    act = knowledge.acts.get(doubt.doubt)
    touched = _through_act(knowledge, act, doubt, standing) if act else _by_instrument(knowledge, doubt, standing)
    usual = 0.0 if act else knowledge.stray(knowledge.instruments[doubt.doubt].doubt)
    return StandingDoubt(
        entry=doubt.number,
        id=f"{doubt.doubt} {doubt.tool}".rstrip(),
        of=doubt.doubt,
        tool=doubt.tool,
        chance=doubt.chance,
        matters=doubt.chance > usual,
        touches=frozenset(touched),
    )


def _by_instrument(knowledge: Knowledge, doubt: Doubt, standing: Sequence[LogEntry]) -> Iterator[Look]:
    signs = _signs_by(knowledge, doubt.doubt)
    good_again = _calibrated_since(doubt, standing)
    looks = [
        (entry.number, sign, tools_named(entry.tool) if isinstance(entry, _BY_TOOL) else frozenset())
        for entry in standing
        for sign, answer in looks_of(knowledge, entry)
        if answer not in NO_INFORMATION and (sign in signs or doubt.tool) and entry.number not in good_again
    ]
    if doubt.tool:
        yield from ((number, sign) for number, sign, tools in looks if tools_named(doubt.tool) <= tools)
        return
    before = [look for look in looks if look[0] < doubt.number]
    signs_before = {sign for _, sign, _ in before}
    tools_before = frozenset[str]().union(*(tools for _, _, tools in before))
    for number, sign, tools in looks:
        is_other = bool(before) and (sign in signs_before or bool(tools and not tools & tools_before))
        if number < doubt.number or not is_other:
            yield number, sign


def _calibrated_since(doubt: Doubt, standing: Sequence[LogEntry]) -> frozenset[int]:
    """Entries after the doubt by a tool whose certificate is newer than the doubt: what was bad has been put right.

    Newer: not from before the day of the doubt, and later than any date that stood beside the tool until then. Where
    neither day nor date is known nothing is newer.
    """
    dated = [entry for entry in standing if isinstance(entry, Reading | Measurement) and entry.calibrated]
    day = doubt.at.date().isoformat() if doubt.at else ""
    found = set()
    for entry in dated:
        tools = tools_named(entry.tool)
        shown = max((e.calibrated for e in dated if e.number < doubt.number and _may_share(e, tools)), default="")
        if entry.number > doubt.number and (day or shown) and entry.calibrated >= day and entry.calibrated > shown:
            found.add(entry.number)
    return frozenset(found)


def _may_share(entry: Reading | Measurement, tools: frozenset[str]) -> bool:
    """Whether an entry may have been read with one of these tools; one without a name may be any."""
    named = tools_named(entry.tool)
    return not named or not tools or bool(named & tools)


def tools_named(named: str) -> frozenset[str]:
    """The tools that an entry names: "straight edge 2, feeler 12" are two."""
    return frozenset(part.strip() for part in named.casefold().split(",") if part.strip())


def _through_act(knowledge: Knowledge, act: Act, doubt: Doubt, standing: Sequence[LogEntry]) -> Iterator[Look]:
    done = [e.number for e in standing if isinstance(e, Done) and e.act == doubt.doubt]
    since = max((number for number in done if number < doubt.number), default=None)
    if since is None:
        return
    until = min((number for number in done if number > doubt.number), default=standing[-1].number + 1)
    through = _signs_through(knowledge, doubt.doubt)
    for entry in standing:
        if since < entry.number < until:
            for sign, answer in looks_of(knowledge, entry):
                hidden = sign in act.hides or (act.needs_driving and bool(knowledge.signs[sign].place))
                if answer not in NO_INFORMATION and (sign in through or hidden):
                    yield entry.number, sign


def _signs_by(knowledge: Knowledge, instrument: str) -> frozenset[str]:
    """Signs that only checks with this instrument reveal."""
    return _only(knowledge, {id for id, check in knowledge.checks.items() if check.instrument == instrument})


def _signs_through(knowledge: Knowledge, act: str) -> frozenset[str]:
    """Signs that only checks which need what this act brings about reveal."""
    brought = {id for id, opening in knowledge.openings.items() if opening.act == act}
    brought.update(knowledge.acts[act].opens)
    checks = (id for id, check in knowledge.checks.items() if brought & set(_needed(knowledge, check.access)))
    return _only(knowledge, set(checks))


def _needed(knowledge: Knowledge, access: Sequence[str]) -> Iterator[str]:
    """Openings that an access needs, with those that these need."""
    for opening in access:
        yield opening
        yield from _needed(knowledge, knowledge.openings[opening].needs)


def _only(knowledge: Knowledge, checks: set[str]) -> frozenset[str]:
    """Signs that these checks reveal and no others."""
    these = {sign for id in checks for sign in knowledge.checks[id].reveals}
    others = {sign for id, check in knowledge.checks.items() if id not in checks for sign in check.reveals}
    return frozenset(these - others)
