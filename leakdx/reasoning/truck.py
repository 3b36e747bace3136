"""The state of the truck as the log goes on: what is open, what is spoiled, and whether it must be driven first."""

from functools import reduce

from leakdx.knowledge.model import Act, Check, Knowledge


class Truck:
    """Follows acts and answers in order of entry."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._knowledge = knowledge
        self.open: dict[str, int] = {}
        """Opening -> the entry that it stands on."""
        self.brought: set[str] = set()
        """Openings that were brought about at any time."""
        self.spoiled: set[str] = set()
        self.must_drive_first = False
        self.hidden: set[str] = set()
        """Signs that say nothing until the truck has been driven, beside the place signs."""

    def do(self, action: str, entry: int) -> bool:
        """An act or a repair was done; True if it opened something."""
        act = self._knowledge.acts.get(action)
        if act is None:
            self._end_by_repair(action)
            return False
        for opening in act.closes:
            self.open.pop(opening, None)
        opened = [opening for opening in self._opens(action, act) if self._open(opening, entry)]
        self.spoiled.update(act.spoils)
        if act.drives:
            self.must_drive_first = False
            self.hidden.clear()
            # Oil has had its chance to show again; the other signs stay as spoiled as they were.
            self.spoiled = {sign for sign in self.spoiled if not self._is_place_sign(sign)}
        if act.needs_driving:
            self.must_drive_first = True
        self.hidden.update(act.hides)
        return bool(opened)

    def come_back(self) -> None:
        """It was on the road and came in again: nothing stands open, and what is wet is wet as found."""
        self.open.clear()
        self.spoiled.clear()
        self.hidden.clear()
        self.must_drive_first = False

    def seen(self, sign: str, entry: int) -> bool:
        """A sign was seen, so what every look at it needs and no act is logged for is open; True if it was not."""
        access = [set(check.access) for check in self._revealing(sign)]
        needed = reduce(set.intersection, access) if access else set()
        openings = self._knowledge.openings
        # In the order of the knowledge, for a set has none of its own.
        unlogged = [opening for opening in openings if opening in needed and openings[opening].act is None]
        opened = [opening for opening in unlogged if self._open(opening, entry)]
        return bool(opened)

    def told(self, group: str, answer: str, entry: int) -> None:
        """What a history answer says of the truck's state (it came in washed) is so from here on."""
        known = self._knowledge.history.get(group)
        for opening in known.answers[answer].opens if known and answer in known.answers else ():
            self._open(opening, entry)

    def why_not_seen(self, sign: str) -> str | None:
        """Why nobody can have seen this sign yet, in one sentence; None if it can have been seen."""
        name = self._knowledge.name(sign)
        if sign in self.hidden or (self.must_drive_first and self._is_place_sign(sign)):
            return f'"{name}" cannot be known yet: the truck has not been driven since it was cleaned.'
        lacking = [self._not_yet_open(check) for check in self._revealing(sign)]
        if not lacking or not all(lacking):
            return None
        opening = min(lacking, key=len)[0]
        act = self._knowledge.openings[opening].act
        return (
            f'"{name}" cannot have been seen yet: it needs "{self._knowledge.name(opening)}", '
            f"and no act {act} stands before it in the log."
        )

    def _open(self, opening: str, entry: int) -> bool:
        self.brought.add(opening)
        if opening in self.open:
            return False
        self.open[opening] = entry
        self.spoiled.update(self._knowledge.openings[opening].spoils)
        return True

    def _end_by_repair(self, action: str) -> None:
        """What it closes no longer stands open, nor what that needed; and what was mended has not been driven since."""
        repair = self._knowledge.repairs.get(action)
        if repair is None:
            return
        if repair.closes is not None:
            for opening in repair.access:
                for shut in (opening, *self._knowledge.openings[opening].needs):
                    self.open.pop(shut, None)
        if repair.cures:
            for opening in [o for o in self.open if self._comes_of_a_drive(o)]:
                self.open.pop(opening)

    def _comes_of_a_drive(self, opening: str) -> bool:
        known = self._knowledge.openings[opening]
        act = self._knowledge.acts.get(known.act) if known.act else None
        return (act is not None and act.drives) or any(map(self._comes_of_a_drive, known.needs))

    def _opens(self, action: str, act: Act) -> tuple[str, ...]:
        by_name = (o for o, opening in self._knowledge.openings.items() if opening.act == action)
        return tuple(dict.fromkeys((*act.opens, *by_name)))

    def _not_yet_open(self, check: Check) -> list[str]:
        openings = self._knowledge.openings
        return [o for o in check.access if openings[o].act is not None and o not in self.brought]

    def _revealing(self, sign: str) -> list[Check]:
        return [check for check in self._knowledge.checks.values() if sign in check.reveals]

    def _is_place_sign(self, sign: str) -> bool:
        known = self._knowledge.signs.get(sign)
        return known is not None and bool(known.place)
