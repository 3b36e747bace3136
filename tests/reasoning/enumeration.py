"""The posterior of a small knowledge by full enumeration, written as plainly as its meaning allows.

Every coin is listed: whether each cause is there, whether it leaks, whether each act ends it, whether it
gets out at each zone, whether oil takes each path. Nothing is shared with the code under test.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import product
from math import prod
from typing import NamedTuple

from msgspec import structs

from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.evidence import Evidence, HistoryEvidence, SignEvidence

Chances = Mapping[int, float]


class World(NamedTuple):
    """One way things can be: by epoch, which causes are there and leak, and which nodes carry oil.

    A second draw of a cause stands as ``cause#1`` beside the first; ``any cause`` is one of them.
    """

    there: list[dict[str, bool]]
    leaks: list[dict[str, bool]]
    out: list[dict[str, bool]]
    run: list[dict[tuple[str, str], bool]]
    wet: list[dict[str, bool]]


class Flat(NamedTuple):
    """The knowledge with words looked up, not listed among the causes."""

    causes: list[str]
    leaks: dict[str, float]
    zones: dict[tuple[str, str], float]
    shows: dict[tuple[str, str], list[float]]
    leads: dict[tuple[str, str], float]


def flatten(k: Knowledge) -> Flat:
    """Look up all words."""
    flat = Flat(list(k.causes), {}, {}, {}, {})
    for id, c in k.causes.items():
        flat.leaks[id] = k.link(c.leaks)
        flat.zones[id, c.zone] = k.link(c.at_zone)
        for zone, word in c.also_zones.items():
            flat.zones[id, zone] = k.link(word)
        for sign, word in c.shows.items():
            flat.shows[id, sign] = [k.link(word)]
        for sign, words in c.looks.items():
            flat.shows[id, sign] = [k.link(words[o]) if o in words else 0.0 for o in k.signs[sign].outcomes[1:]]
        for child, word in c.leads_to.items():
            flat.leads[id, child] = k.link(word)
    if k.has_not_listed:
        unlisted = k.words.not_listed
        flat.causes.append(NOT_LISTED)
        flat.leaks[NOT_LISTED] = 1.0
        for zone, entry in k.zones.items():
            if zone == unlisted.zone:
                flat.zones[NOT_LISTED, zone] = k.link(unlisted.joint)
            elif entry.active and zone not in unlisted.nowhere:
                flat.zones[NOT_LISTED, zone] = unlisted.elsewhere
        for sign, s in k.signs.items():
            if not s.place:
                abnormal = len(s.outcomes) - 1
                flat.shows[NOT_LISTED, sign] = [unlisted.elsewhere / abnormal] * abnormal
    return flat


def with_draws(flat: Flat, evidence: Evidence) -> Flat:
    """The same with every later draw of a cause as a cause of its own, which nothing leads to."""
    for number, redraw in enumerate(evidence.redraws, start=1):
        for c in redraw.causes:
            own = f"{c}#{number}"
            flat.causes.append(own)
            flat.leaks[own] = flat.leaks[c]
            flat.zones.update({(own, z): s for (of, z), s in list(flat.zones.items()) if of == c})
            flat.shows.update({(own, z): s for (of, z), s in list(flat.shows.items()) if of == c})
    return flat


def draws_base(flat: Flat, base: Mapping[str, float], evidence: Evidence) -> dict[str, float]:
    """Base chances of later draws after history: one offset, found by trying ever finer, then the shifts."""
    found: dict[str, float] = {}
    for number, redraw in enumerate(evidence.redraws, start=1):
        spoken = [h for h in evidence.history if h.draw == number]
        ruled_out = {c for h in spoken for c in h.impossible}
        offset, step = -600.0, 600.0
        for _ in range(90):
            none = prod(
                1 - odds_after(base[c], offset + step) * flat.leaks[c] for c in redraw.causes if c not in ruled_out
            )
            if 1 - none <= redraw.chance:
                offset += step
            step /= 2
        for c in redraw.causes:
            shift = sum(h.decibans.get(c, 0.0) for h in spoken)
            found[f"{c}#{number}"] = 0.0 if c in ruled_out else odds_after(base[c], offset + shift)
    return found


def odds_after(base: float, decibans: float) -> float:
    """The chance after a shift of its log-odds."""
    odds = base / (1 - base) * 10 ** (decibans / 10)
    return odds / (1 + odds)


def worlds(k: Knowledge, base: Mapping[str, float], evidence: Evidence) -> Iterator[tuple[float, World]]:
    """All worlds with their prior chances, history taken into account."""
    flat = with_draws(flatten(k), evidence)
    shifted = dict(base) | draws_base(flat, base, evidence)
    impossible = {c for h in evidence.history for c in h.impossible if not _is_of_draw(evidence, h, c)}
    for h in evidence.history:
        for cause, decibans in h.decibans.items():
            if not _is_of_draw(evidence, h, cause):
                shifted[cause] = odds_after(shifted[cause], decibans)
    for there in product((False, True), repeat=len(flat.causes)):
        is_there = dict(zip(flat.causes, there, strict=True))
        chance = 1.0
        for cause in flat.causes:
            absent = 1 - shifted[cause]
            for (parent, child), link in flat.leads.items():
                if child == cause and is_there[parent]:
                    absent *= 1 - link
            present = 0.0 if cause in impossible else 1 - absent
            chance *= present if is_there[cause] else 1 - present
        if chance > 0:
            yield from _with_leaks(k, flat, evidence, chance, is_there)


def _is_of_draw(evidence: Evidence, h: HistoryEvidence, cause: str) -> bool:
    return h.draw > 0 and cause in evidence.redraws[h.draw - 1].causes


class Life(NamedTuple):
    """What became of one cause: by epoch whether it was there and leaked, and where it got out, with the epoch."""

    there: tuple[bool, ...]
    leaks: tuple[bool, ...]
    out: frozenset[tuple[int, str]]


def _with_leaks(
    k: Knowledge, flat: Flat, evidence: Evidence, chance: float, is_there: dict[str, bool]
) -> Iterator[tuple[float, World]]:
    for became, share in _together([_lives(flat, evidence, c, is_there[c]) for c in flat.causes]).items():
        lives = dict(zip(flat.causes, became.lives, strict=True))
        leaked = {zone for _, zone in became.out}
        paths = [(z, p, k.words.transfers[word]) for z in leaked for p, word in k.zones[z].paths.items()]
        coins: list[tuple[object, float]] = [((z, p), strength) for z, p, strength in paths]
        if k.words.on_first_drive is not None and any(act.dries for act in evidence.acts):
            coins += [(("quick", z, p), k.link(k.words.on_first_drive)) for z, p, _ in paths]
        for weight, runs in thrown(coins):
            yield chance * share * weight, _world(k, evidence, lives, became.out, runs)


def _lives(flat: Flat, evidence: Evidence, cause: str, is_there: bool) -> dict[Life, float]:
    """All that can become of a cause, with the chances: every way its own coins can fall, like ways added up."""
    begun, kind = _begun(evidence).get(cause, 0), cause.split("#")[0]
    cures = [n for n, act in enumerate(evidence.acts) if n >= begun and kind in act.cures]
    zones = [zone for of, zone in flat.zones if of == cause]
    coins: list[tuple[object, float]] = [("leaks", flat.leaks[cause])]
    coins += [(n, evidence.acts[n].cures[kind]) for n in cures]
    coins += [(zone, flat.zones[cause, zone]) for zone in zones]
    epochs = range(len(evidence.acts) + 1)
    found: dict[Life, float] = {}
    for chance, up in thrown(coins if is_there else []):
        there = tuple(is_there and begun <= e and not any(n in up for n in cures if n < e) for e in epochs)
        leaks = tuple(here and "leaks" in up for here in there)
        life = Life(there, leaks, frozenset((e, z) for e in epochs for z in zones if leaks[e] and z in up))
        found[life] = found.get(life, 0.0) + chance
    return found


class Became(NamedTuple):
    """What became of some causes together; where each of them got out does not matter, only where one did."""

    lives: tuple[tuple[tuple[bool, ...], tuple[bool, ...]], ...]
    out: frozenset[tuple[int, str]]


def _together(each: list[dict[Life, float]]) -> dict[Became, float]:
    """All that can become of all causes, with the chances: one cause after the other, like ways added up."""
    found = {Became((), frozenset()): 1.0}
    for lives in each:
        grown: dict[Became, float] = {}
        for (so_far, chance), (life, own) in product(found.items(), lives.items()):
            became = Became((*so_far.lives, (life.there, life.leaks)), so_far.out | life.out)
            grown[became] = grown.get(became, 0.0) + chance * own
        found = grown
    return found


def _begun(evidence: Evidence) -> dict[str, int]:
    """Later draw -> the epoch from which it is there."""
    return {f"{c}#{n}": r.epoch for n, r in enumerate(evidence.redraws, start=1) for c in r.causes}


def thrown(coins: Sequence[tuple[object, float]]) -> Iterator[tuple[float, set[object]]]:
    """All ways the coins can fall: (chance, which came up)."""
    sides = [[(chance, is_up) for chance, is_up in ((p, True), (1 - p, False)) if chance > 0] for _, p in coins]
    for fall in product(*sides):
        weight = prod(p for p, _ in fall)
        if weight > 0:
            yield weight, {id for (id, _), (_, is_up) in zip(coins, fall, strict=True) if is_up}


def _world(
    k: Knowledge,
    evidence: Evidence,
    lives: Mapping[str, tuple[tuple[bool, ...], tuple[bool, ...]]],
    got_out: frozenset[tuple[int, str]],
    runs: set[object],
) -> World:
    world = World([], [], [], [], [])
    begun = _begun(evidence)
    has_had_time = True
    for epoch in range(len(evidence.acts) + 1):
        if any(back.epoch == epoch for back in evidence.comebacks):
            has_had_time = True
        if (epoch > 0 and evidence.acts[epoch - 1].dries) or k.words.on_first_drive is None:
            has_had_time = k.words.on_first_drive is None
        here = {c: there[epoch] for c, (there, _) in lives.items()}
        leaks = {c: leaked[epoch] for c, (_, leaked) in lives.items()}
        out = {z: (epoch, z) in got_out for z in k.zones}
        run = {
            (z, p): out[z] and (z, p) in runs and (has_had_time or ("quick", z, p) in runs)
            for z, entry in k.zones.items()
            for p in entry.paths
        }
        wet = {p: any(is_on for (_, to), is_on in run.items() if to == p) for p in (*k.zones, *k.places)}
        for zone, entry in k.zones.items():
            wet[zone] |= entry.is_place and out[zone]
        world.there.append(here)
        world.leaks.append(leaks)
        for states in (here, leaks):
            states.update({f"any {c}": states[c] for c in lives if "#" not in c})
            for later in begun:
                states[f"any {later.split('#')[0]}"] |= states[later]
        world.out.append(out)
        world.run.append(run)
        world.wet.append(wet)
    return world


def likelihood(k: Knowledge, flat: Flat, evidence: Evidence, world: World) -> float:
    """Chance of all answers, and of the complaint, in one world: whatever is doubted may be bad or not."""
    total = 0.0
    for weight, bad in thrown([(d.id, d.chance) for d in evidence.doubts]):
        total += weight * _likelihood(k, flat, evidence, world, bad)
    return total


def told(item: SignEvidence, bad: set[object]) -> tuple[float, ...]:
    """What an answer says when these things are bad."""
    for other in item.otherwise:
        if set(other.bad) == bad & set(item.relies):
            return other.likelihood
    return item.likelihood


def _likelihood(k: Knowledge, flat: Flat, evidence: Evidence, world: World, bad: set[object]) -> float:
    total = 1.0
    reported = [(0, evidence.complaint), *((r.epoch, r.place) for r in evidence.comebacks)]
    for wet_place in {at for _, at in reported}:
        wet = {epoch: world.wet[epoch][at] for epoch, at in reported if at == wet_place}
        total *= _shown(k, "reported", wet, dict.fromkeys(wet, (0.0, 1.0)))
    for sign in {s.sign for s in evidence.signs}:
        seen: dict[int, tuple[float, ...]] = {}
        for item in (s for s in evidence.signs if s.sign == sign):
            before = seen.get(item.epoch, (1.0,) * len(item.likelihood))
            seen[item.epoch] = tuple(a * b for a, b in zip(before, told(item, bad), strict=True))
        place = k.signs[sign].place
        if place:
            total *= _shown(k, place[0], {e: _place(world, place, e) for e in seen}, seen)
        else:
            total *= _written(k, flat, evidence, world, sign, seen)
    return total


def _place(world: World, place: tuple[str, ...], epoch: int) -> bool:
    if place[0] == "wet":
        return world.wet[epoch][place[1]]
    if place[0] == "origin":
        return world.out[epoch][place[1]]
    return world.run[epoch][place[1], place[2]]


def _shown(k: Knowledge, kind: str, so: Mapping[int, bool], seen: Mapping[int, tuple[float, ...]]) -> float:
    words = k.words.place_signs[kind]  # type: ignore[index]
    link, stray = k.link(words.link), k.stray(words.stray)
    total = 0.0
    for chance, coin in ((link, True), (1 - link, False)):
        for epoch, outcome in seen.items():
            yes = 1.0 if coin and so[epoch] else stray
            chance *= yes * outcome[1] + (1 - yes) * outcome[0]
        total += chance
    return total


def _written(
    k: Knowledge, flat: Flat, evidence: Evidence, world: World, sign: str, seen: Mapping[int, tuple[float, ...]]
) -> float:
    """All ways in which causes ask for outcomes, and strays come."""
    entry = k.signs[sign]
    active = world.there if entry.hangs_on == "present" else world.leaks
    parents = [c for c in flat.causes if (c, sign) in flat.shows and any(active[epoch][c] for epoch in seen)]
    asks = tuple((1 - sum(flat.shows[c, sign]), *flat.shows[c, sign]) for c in parents)
    strays = [k.stray(r.stray) for r in entry.results.values()][1:] if entry.results else [k.stray(entry.stray)]
    segments: dict[int, list[Look]] = {}
    for epoch, outcome in seen.items():
        renewed = sum(sign in a.renews for a in evidence.acts[:epoch])
        look = Look(tuple(active[epoch][c] for c in parents), outcome)
        segments.setdefault(renewed if entry.hangs_on == "present" else epoch, []).append(look)
    return _asked_for(asks, (1 - sum(strays), *strays), tuple(map(tuple, segments.values())))


class Look(NamedTuple):
    """A sign at one epoch: which of the causes that may show it are active, and how likely each outcome makes it."""

    active: tuple[bool, ...]
    outcome: tuple[float, ...]


@lru_cache(maxsize=4096)
def _asked_for(
    asks: tuple[tuple[float, ...], ...], strays: tuple[float, ...], segments: tuple[tuple[Look, ...], ...]
) -> float:
    """Chance of what was seen: causes ask once for good, a stray comes once in each segment; the worst is seen."""
    total = 0.0
    for ranks in product(*(range(len(a)) for a in asks)):
        chance = prod(a[r] for a, r in zip(asks, ranks, strict=True))
        for looks in segments:
            some = 0.0
            for stray, stray_chance in enumerate(strays):
                worst = [max([stray, *(r for is_on, r in zip(e.active, ranks, strict=True) if is_on)]) for e in looks]
                some += stray_chance * prod(e.outcome[w] for e, w in zip(looks, worst, strict=True))
            chance *= some
        total += chance
    return total


def mean(k: Knowledge, base: Mapping[str, float], evidence: Evidence, value: Callable[[World], float]) -> float:
    """Posterior mean of a function of the world."""
    flat = with_draws(flatten(k), evidence)
    whole = part = 0.0
    for chance, world in worlds(k, base, evidence):
        weight = chance * likelihood(k, flat, evidence, world)
        whole += weight
        part += weight * value(world)
    return part / whole


def posterior(k: Knowledge, base: Mapping[str, float], evidence: Evidence) -> list[tuple[float, World]]:
    """All worlds with their posterior chances."""
    flat = with_draws(flatten(k), evidence)
    weighed = [(chance * likelihood(k, flat, evidence, w), w) for chance, w in worlds(k, base, evidence)]
    whole = sum(weight for weight, _ in weighed)
    return [(weight / whole, w) for weight, w in weighed if weight > 0]


def with_answer(evidence: Evidence, sign: str, outcome: int, outcomes: int) -> Evidence:
    """The same with one more sure answer in the last epoch."""
    hard = tuple(1.0 if i == outcome else 0.0 for i in range(outcomes))
    item = SignEvidence(999, sign, len(evidence.acts), hard)
    return structs.replace(evidence, signs=(*evidence.signs, item))
