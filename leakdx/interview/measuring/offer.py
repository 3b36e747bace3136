"""What can be measured on a truck now: each measurement that the knowledge can use, and what it needs first."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from leakdx.case import Case, Measurement, Reading
from leakdx.explain.words import capital, counted
from leakdx.interview.measuring.bead import BeadForm
from leakdx.interview.measuring.drips import DripsForm
from leakdx.interview.measuring.face import FaceForm
from leakdx.interview.measuring.form import Form
from leakdx.interview.measuring.ring import RingForm
from leakdx.interview.measuring.value import ValueForm
from leakdx.interview.measuring.wet_place import WetPlaceForm
from leakdx.knowledge.model import Check, Knowledge, Sign, WorkedOut
from leakdx.measured.kinds import Calculation
from leakdx.reasoning.repair import still_to_open
from leakdx.reasoning.timeline import timeline
from leakdx.reasoning.worked_out import answered_by

_FORMS: Mapping[Calculation, type[Form]] = {
    "flatness": FaceForm, "fasteners": RingForm, "leak": DripsForm, "weld": BeadForm, "place": WetPlaceForm,
}  # fmt: skip
_TITLES: Mapping[Calculation, str] = {
    "flatness": "{} face, place by place",
    "fasteners": "Torque audit, fastener by fastener",
    "leak": "Drips or a stain, by the minute",
    "weld": "A weld near the joint, by its settings",
    "place": "The wet place against slack fasteners or a weld",
}


class Offered(NamedTuple):
    """A measurement. ``needs``: states of the truck that it needs first, in words; ``done``: entries that are one.

    ``cautions`` and ``tools`` are those of the check that it is part of.
    """

    key: str
    title: str
    about: str
    signs: tuple[str, ...]
    needs: tuple[str, ...] = ()
    done: tuple[int, ...] = ()
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()

    @property
    def state(self) -> str:
        """How it stands, in words."""
        said = [f"needs first: {', '.join(self.needs)}"] if self.needs else ["can be taken now"]
        if self.done:
            said.append(f"measured in {counted(len(self.done), 'entry')}: {', '.join(map(str, self.done))}")
        return "; ".join(said)


def offered(knowledge: Knowledge, case: Case) -> tuple[Offered, ...]:
    """All that can be measured; what can be taken now first."""
    measured = {id: sign for id, sign in knowledge.signs.items() if sign.worked_out or sign.measure}
    grouped: dict[tuple[str, str], list[str]] = {}
    for id, sign in sorted(measured.items(), key=lambda one: _place_in_list(one[1])):
        grouped.setdefault(_kind(id, sign.worked_out), []).append(id)
    rows = [_offer(knowledge, case, title, signs) for (_, title), signs in grouped.items()]
    return tuple(sorted(rows, key=lambda row: bool(row.needs)))


def form_of(knowledge: Knowledge, case: Case, offer: Offered) -> Form:
    """The form of what is offered, on the case as it stands."""
    first = offer.signs[0]
    worked = knowledge.signs[first].worked_out
    kind = _FORMS[worked.by] if worked is not None else ValueForm
    return kind(knowledge, case, first, offer.key, offer.title)


def _place_in_list(sign: Sign) -> int:
    """Calculations in the order of the table, values behind them."""
    return list(_FORMS).index(sign.worked_out.by) if sign.worked_out is not None else len(_FORMS)


def _kind(id: str, worked: WorkedOut | None) -> tuple[str, str]:
    """What is measured at one go: several signs may be answered by the same readings."""
    if worked is None:
        return id, ""
    only = " ".join(worked.only.values())
    return f"{worked.by} {only}".strip(), _TITLES[worked.by].format(only)


def _offer(knowledge: Knowledge, case: Case, title: str, ids: list[str]) -> Offered:
    first: Sign = knowledge.signs[ids[0]]
    checks = [check for check in knowledge.checks.values() if not set(ids).isdisjoint(check.reveals)]
    chosen = checks[0] if checks else None
    key, _ = _kind(ids[0], first.worked_out)
    return Offered(
        key=key,
        title=capital(title or first.name),
        about=first.question or first.name,
        signs=tuple(ids),
        needs=_needs(knowledge, case, checks),
        done=tuple(_entries(knowledge, case, ids)),
        cautions=tuple(knowledge.cautions[c].text for c in chosen.cautions) if chosen else (),
        tools=chosen.tools if chosen else (),
    )


def _needs(knowledge: Knowledge, case: Case, checks: list[Check]) -> tuple[str, ...]:
    """What the check that needs least still needs."""
    now = timeline(knowledge, case)
    lacking = [still_to_open(knowledge, check.access, now.open) for check in checks]
    least: frozenset[str] = min(lacking, key=len, default=frozenset())
    return tuple(map(knowledge.name, sorted(least)))


def _entries(knowledge: Knowledge, case: Case, ids: list[str]) -> Iterator[int]:
    """Standing entries that answer one of these signs by what was measured."""
    for entry in case.standing:
        if isinstance(entry, Measurement):
            answers = set(answered_by(knowledge, entry))
        else:
            answers = {entry.sign} if isinstance(entry, Reading) else set()
        if not answers.isdisjoint(ids):
            yield entry.number
