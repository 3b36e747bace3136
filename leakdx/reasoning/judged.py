"""The judged chances that a compiled model holds, each by itself, and the model with one of them moved.

A chance is moved by a factor on its odds, so that one factor means the same for a rare thing and a common one.
"""

from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Literal

import numpy as np
from msgspec import Struct, structs

from leakdx.knowledge.checks.strengths import MOST_OF_A_LOOK
from leakdx.reasoning.compiled import Array, Model, PlaceLinks, SignLinks, Strength, compile_links, with_none
from leakdx.reasoning.evidence import Evidence
from leakdx.reasoning.states import chances

Kind = Literal["base", "leaks", "link", "stray", "place_link", "place_stray", "leads_to", "at_zone", "path", "word"]
WORDS = ("links", "strays", "transfers")
"""Tables of words whose meaning is a chance."""
Moved = Callable[[float], float]


class Judged(Struct, frozen=True):
    """One judged chance. ``of`` by kind:

    base, leaks: (cause); link: (cause, sign, outcome); stray: (sign, outcome); place_link, place_stray: (kind of
    place sign); leads_to: (cause, cause); at_zone: (cause, zone); path: (zone, place); word: (table, word).
    """

    kind: Kind
    of: tuple[str, ...]
    chance: float


def times_odds(chance: float, factor: float) -> float:
    """The chance with its odds times a factor; what is sure stays sure."""
    return chance * factor / (1 - chance + chance * factor)


def moved_chance(model: Model, judged: Judged, factor: float) -> float:
    """What the chance comes to with its odds times a factor; a result of a look never takes more than there is."""
    moved = times_odds(judged.chance, factor)
    if judged.kind not in ("link", "stray") or len(model.signs[judged.of[-2]].stray) == 2:
        return moved
    links = model.signs[judged.of[-2]]
    asks = links.stray if judged.kind == "stray" else dict(links.parents)[model.index[judged.of[0]]]
    others = float(asks[1:].sum()) - judged.chance
    return min(moved, max(judged.chance, MOST_OF_A_LOOK - others))


def base_chances(model: Model) -> Array:
    """[C] chance that each cause is there, before anything is known."""
    return chances(model.log_odds)[0]


def judged_chances(model: Model, evidence: Evidence, causes: Collection[str]) -> Iterator[Judged]:
    """The chances that bear on a case: of these causes, and of what was seen. What is sure is not judged."""
    every = (*_of_causes(model, causes), *_of_signs(model, evidence, causes), *_of_places(model, evidence, causes))
    yield from (judged for judged in (*every, *_of_words(model)) if 0 < judged.chance < 1)


def _of_causes(model: Model, causes: Collection[str]) -> Iterator[Judged]:
    base = base_chances(model)
    for cause in causes:
        number = model.index[cause]
        yield Judged("base", (cause,), float(base[number]))
        yield Judged("leaks", (cause,), float(model.leaks[number]))
        for parent, strength in model.parents.get(number, ()):
            if model.causes[parent] in causes:
                yield Judged("leads_to", (model.causes[parent], cause), strength)


def _of_signs(model: Model, evidence: Evidence, causes: Collection[str]) -> Iterator[Judged]:
    for sign in dict.fromkeys(seen.sign for seen in evidence.signs if seen.sign in model.signs):
        links, outcomes = model.signs[sign], model.knowledge.signs[sign].outcomes
        yield from (Judged("stray", (sign, outcomes[r]), float(c)) for r, c in enumerate(links.stray) if r)
        for parent, asks in links.parents:
            if (cause := model.causes[parent]) in causes:
                yield from (Judged("link", (cause, sign, outcomes[r]), float(c)) for r, c in enumerate(asks) if r)


def _of_places(model: Model, evidence: Evidence, causes: Collection[str]) -> Iterator[Judged]:
    signs = model.knowledge.signs
    kinds = dict.fromkeys(("reported", *(signs[s.sign].place[0] for s in evidence.signs if signs[s.sign].place)))
    for kind in kinds:
        links = model.places[kind]
        yield Judged("place_link", (kind,), links.link)
        yield Judged("place_stray", (kind,), float(links.stray[1]))
    zones = dict.fromkeys(z for z, own in model.zone_causes.items() if any(model.causes[c] in causes for c, _ in own))
    for zone in zones:
        own = ((model.causes[cause], strength) for cause, strength in model.zone_causes[zone])
        yield from (Judged("at_zone", (cause, zone), strength) for cause, strength in own if cause in causes)
    for place, ways in model.into.items():
        yield from (Judged("path", (zone, place), strength) for zone, strength in ways if zone in zones)


def _of_words(model: Model) -> Iterator[Judged]:
    for table in WORDS:
        words: Mapping[str, float] = getattr(model.knowledge.words, table)
        yield from (Judged("word", (table, word), chance) for word, chance in words.items())


def with_chance(model: Model, judged: Judged, chance: float) -> Model:
    """The model with this one chance in place of the judged one, all else held: base chances are not solved anew."""

    def to_it(_: float) -> float:
        return chance

    of = judged.of
    match judged.kind:
        case "base":
            odds = model.log_odds.copy()
            odds[model.index[of[0]]] = np.log(chance) - np.log1p(-chance)
            return model.with_log_odds(odds)
        case "leaks":
            leaks = model.leaks.copy()
            leaks[model.index[of[0]]] = chance
            return structs.replace(model, leaks=leaks)
        case "link" | "stray":
            sign = of[-2]
            rank = model.knowledge.signs[sign].outcomes.index(of[-1])
            links = _with_result(model, model.signs[sign], of[0] if judged.kind == "link" else None, rank, chance)
            return structs.replace(model, signs={**model.signs, sign: links})
        case "place_link":
            return _with_place(model, of[0], structs.replace(model.places[of[0]], link=chance))
        case "place_stray":
            return _with_place(model, of[0], structs.replace(model.places[of[0]], stray=np.array([1 - chance, chance])))
        case "leads_to":
            parent, child = (model.index[cause] for cause in of)
            own = _with_strength(model.parents[child], parent, to_it)
            return structs.replace(model, parents={**model.parents, child: own})
        case "at_zone":
            own = _with_strength(model.zone_causes[of[1]], model.index[of[0]], to_it)
            return structs.replace(model, zone_causes={**model.zone_causes, of[1]: own})
        case "path":
            ways = tuple((zone, chance if zone == of[0] else strength) for zone, strength in model.into[of[1]])
            return structs.replace(model, into={**model.into, of[1]: ways})
        case "word":
            return _with_word(model, of[0], of[1], chance)


def _with_word(model: Model, table: str, word: str, chance: float) -> Model:
    """A word means something else wherever it stands."""
    said = model.knowledge.words
    words = structs.replace(said, **{table: {**getattr(said, table), word: chance}})
    changed = compile_links(structs.replace(model.knowledge, words=words)).with_log_odds(model.log_odds)
    return structs.replace(changed, signs={sign: _moved_links(links, float) for sign, links in changed.signs.items()})


def _with_result(model: Model, links: SignLinks, cause: str | None, rank: int, chance: float) -> SignLinks:
    """One chance of a sign's outcomes by a cause, or by nothing at all; what it leaves is for no outcome."""
    if cause is None:
        return structs.replace(links, stray=_with_rank(links.stray, rank, chance))
    number = model.index[cause]
    parents = tuple((p, _with_rank(asks, rank, chance) if p == number else asks) for p, asks in links.parents)
    return links.asking(parents)


def _with_rank(asks: Array, rank: int, chance: float) -> Array:
    """What the others leave is for none of the results."""
    changed = asks.copy()
    changed[rank] = chance
    return with_none(changed[1:])


def _with_strength(own: tuple[Strength, ...], whose: int, moved: Moved) -> tuple[Strength, ...]:
    return tuple((number, moved(strength) if number == whose else strength) for number, strength in own)


def _with_place(model: Model, kind: str, links: PlaceLinks) -> Model:
    return structs.replace(model, places={**model.places, kind: links})


def with_all_odds(model: Model, factor: Callable[[], float]) -> Model:
    """The model with the odds of every judged chance times a factor of its own.

    The sum of the shares is kept, since it alone decides how often a right repair holds. Base chances are those of
    the model given, and wait to be solved for the shares.
    """

    def move(chance: float) -> float:
        return times_odds(chance, factor())

    def each(own: tuple[Strength, ...]) -> tuple[Strength, ...]:
        return tuple((number, move(strength)) for number, strength in own)

    shares = np.array([move(share) for share in model.shares.tolist()])
    return structs.replace(
        model,
        shares=shares * model.shares.sum() / shares.sum(),
        leaks=np.array([move(chance) for chance in model.leaks.tolist()]),
        parents={child: each(own) for child, own in model.parents.items()},
        zone_causes={zone: each(own) for zone, own in model.zone_causes.items()},
        into={place: tuple((zone, move(s)) for zone, s in ways) for place, ways in model.into.items()},
        signs={sign: _moved_links(links, move) for sign, links in model.signs.items()},
        places=_moved_places(model.places, move),
        on_first_drive=move(model.on_first_drive) if model.on_first_drive < 1 else 1.0,
    )


def _moved_links(links: SignLinks, move: Moved) -> SignLinks:
    parents = tuple((parent, _moved_results(asks, move)) for parent, asks in links.parents)
    return structs.replace(links.asking(parents), stray=_moved_results(links.stray, move))


def _moved_results(asks: Array, move: Moved) -> Array:
    """Chances of results that exclude one another, scaled where together they would be too many."""
    raised = np.array([move(chance) for chance in asks[1:].tolist()])
    if len(raised) > 1:
        raised *= min(1.0, MOST_OF_A_LOOK / max(float(raised.sum()), MOST_OF_A_LOOK))
    return with_none(raised)


def _moved_places(places: Mapping[str, PlaceLinks], move: Moved) -> dict[str, PlaceLinks]:
    moved = {}
    for kind, links in places.items():
        stray = move(float(links.stray[1]))
        moved[kind] = PlaceLinks(move(links.link), np.array([1 - stray, stray]))
    return moved
