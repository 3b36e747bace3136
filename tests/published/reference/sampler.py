"""Draws trucks from the model, coin by coin, and answers whatever is asked of them.

Every coin has a name, and what it shows hangs on that and on the truck alone: a truck gives the same answer to the
same question in the same epoch, however often it is asked, and whatever else it was asked before. So ways to work a
truck are told apart by what they do, and not by the order in which its coins happened to fall.
"""

from collections.abc import Hashable, Iterable, Mapping
from hashlib import blake2b

import numpy as np

from tests.published.reference.enumeration import ABSENT, LEAKING, QUIET, base_chance
from tests.published.reference.reader import Meaning, Story


class Truck:
    """One truck with its causes, zones, paths, coins and strays, through the acts done to it."""

    def __init__(self, meaning: Meaning, base: Mapping[str, float], story: Story, rng: np.random.Generator) -> None:
        """Draw the causes; ``story`` gives history and acts already known, its ``seen`` is not looked at."""
        self._meaning, self._rng = meaning, rng
        self._own = rng.bytes(16)
        self._coins: dict[Hashable, float] = {}
        self._epochs: list[dict[str, int]] = [{}]
        self._renewed: list[frozenset[str]] = [frozenset()]
        self._just_dried: list[bool] = [False]
        for cause in meaning.elders_first:
            self._epochs[0][cause] = self._first_state(cause, base_chance(base, story, cause), story.impossible)
        for cures, renews in story.acts:
            self.act(cures, renews)

    def _first_state(self, cause: str, base: float, impossible: frozenset[str]) -> int:
        made = [s for p, s in self._meaning.parents(cause).items() if self._epochs[0][p] != ABSENT]
        if cause in impossible or not any(self._rng.random() < chance for chance in (base, *made)):
            return ABSENT
        return LEAKING if self._rng.random() < self._meaning.causes[cause].leaks else QUIET

    @property
    def epoch(self) -> int:
        """The epoch that the truck is in; 0 as brought in."""
        return len(self._epochs) - 1

    def state(self, cause: str, epoch: int | None = None) -> int:
        """The state of a cause, now or in an epoch."""
        return self._epochs[self.epoch if epoch is None else epoch][cause]

    def leaking(self, epoch: int | None = None) -> list[str]:
        """The causes that leak, now or in an epoch."""
        return [c for c in self._meaning.causes if self.state(c, epoch) == LEAKING]

    def act(self, cures: Mapping[str, float], renews: Iterable[str] = (), *, dries: bool = False) -> None:
        """An act that can cure: one coin for each cause, then the next epoch; ``dries``: one drive to get wet in."""
        now = dict(self._epochs[-1])
        for cause, chance in cures.items():
            if now[cause] != ABSENT and self._coin(("cured", len(self._epochs), cause), chance):
                now[cause] = ABSENT
        self._epochs.append(now)
        self._renewed.append(frozenset(renews))
        self._just_dried.append(dries or self._just_dried[-1])

    def look(self, sign: str, epoch: int | None = None) -> int:
        """The rank that is seen of a sign, now or in an epoch."""
        when = self.epoch if epoch is None else epoch
        if sign not in self._meaning.signs:
            return self._look_at_place(sign, when)
        stated = self._meaning.signs[sign]
        kept = sum(sign in renewed for renewed in self._renewed[: when + 1])
        rank = self._rank(
            ("stray", sign, when if stated.hangs_on == "leaking" else kept), dict(enumerate(stated.strays))
        )
        for cause in self._meaning.causes.values():
            state = self.state(cause.id, when)
            if sign in cause.shows and (state == LEAKING or (state == QUIET and stated.hangs_on == "present")):
                rank = max(rank, self._rank(("link", sign, cause.id), cause.shows[sign]))
        return rank

    def _look_at_place(self, sign: str, epoch: int) -> int:
        kind, *where = sign.split(".")
        link, stray = self._meaning.place_signs[kind]
        if kind == "origin":
            on = self.comes_out(where[0], epoch)
        elif kind == "trail":
            on = self._runs(where[0], where[1], epoch)
        else:
            on = self.wet(where[0], epoch)
        return int(self._coin(("stray", sign, epoch), stray) or (on and self._coin(("link", sign), link)))

    def comes_out(self, zone: str, epoch: int) -> bool:
        """Whether oil comes out at a zone."""
        leaking = [self._meaning.causes[c] for c in self.leaking(epoch)]
        return any(self._coin(("out", zone, c.id), c.lets_out[zone]) for c in leaking if zone in c.lets_out)

    def _runs(self, zone: str, place: str, epoch: int) -> bool:
        word = self._meaning.zones[zone].paths[place]
        has_come = not self._just_dried[epoch] or self._coin(("quick", zone, place), self._meaning.on_first_drive)
        return self.comes_out(zone, epoch) and self._coin(("run", zone, place), word) and has_come

    def wet(self, place: str, epoch: int) -> bool:
        """Whether a place is wet: oil comes out there or runs there."""
        own = self._meaning.zones.get(place)
        if own and own.is_place and self.comes_out(place, epoch):
            return True
        reaching = [z.id for z in self._meaning.zones.values() if place in z.paths]
        return any(self._runs(zone, place, epoch) for zone in reaching)

    def holds(self, cures: Mapping[str, float], quiet_starts: float, closings: Iterable[float]) -> bool:
        """Draw whether nothing leaks after a repair. ``closings``: the chance of a new leak of each closing."""
        for cause, state in self._epochs[-1].items():
            if state == ABSENT or self._rng.random() < cures.get(cause, 0.0):
                continue
            if state == LEAKING or self._rng.random() < quiet_starts:
                return False
        return not any(self._rng.random() < chance for chance in closings)

    def _coin(self, key: Hashable, chance: float) -> bool:
        return self.drawn(key) < chance

    def _rank(self, key: Hashable, chances: Mapping[int, float]) -> int:
        drawn, reached = self.drawn(key), 0.0
        for rank, chance in chances.items():
            reached += chance
            if drawn < reached:
                return rank
        return 0

    def drawn(self, key: Hashable) -> float:
        """What the coin of this name shows: evenly between 0 and 1."""
        if key not in self._coins:
            bits = int.from_bytes(blake2b(repr(key).encode(), key=self._own, digest_size=8).digest())
            self._coins[key] = (bits >> 11) / 2**53
        return self._coins[key]


def draw_reported(meaning: Meaning, base: Mapping[str, float], story: Story, rng: np.random.Generator) -> Truck:
    """A truck that was brought in because the complaint's place was reported wet (drawn again until it is)."""
    while True:
        truck = Truck(meaning, base, story, rng)
        if truck.look(f"reported.{story.complaint}", 0):
            return truck


def draw_history(meaning: Meaning, rng: np.random.Generator, known: float = 1.0) -> dict[str, str]:
    """History answers of one truck brought in wet: each group known with chance ``known``, by how common."""
    facts = {}
    for group, common in meaning.common.items():
        answer = rng.choice(list(common), p=np.array(list(common.values())) / sum(common.values()))
        if rng.random() < known:
            facts[group] = str(answer)
    return facts
