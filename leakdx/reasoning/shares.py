"""Base chances from shares: after the complaint alone, every cause must leak with the share written for it.

Solved on log-odds by a fixed-point step with Anderson mixing, each round one exact posterior. The
solution is kept as JSON under the hash of the knowledge and proved again when it is read.
"""

import json
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

import numpy as np

from leakdx.errors import KnowledgeError
from leakdx.folders import cache_folder
from leakdx.knowledge.cache import keep
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.compiled import Array, Model, compile_links
from leakdx.reasoning.evidence import Evidence
from leakdx.reasoning.network import Network
from leakdx.reasoning.states import LEAKING

CLOSE = 1e-10
"""Greatest distance from a share that counts as met."""
ROUNDS = 120
MEMORY = 6
"""Earlier rounds that Anderson mixing looks back on."""
FARTHEST = 35.0
"""Log-odds beyond which a base chance is as good as 0 or 1."""


class ShareError(KnowledgeError):
    """Shares that no base chance can bring about. ``reasons``: cause -> one sentence."""

    def __init__(self, reasons: Mapping[str, str]) -> None:
        super().__init__(tuple(reasons.values()))
        self.reasons = dict(reasons)


def compile_model(knowledge: Knowledge, base: Mapping[str, float] | None = None) -> Model:
    """Compile knowledge for the belief.

    Args:
        knowledge: As loaded.
        base: Base chances by cause, in place of those that the shares ask for.

    Raises:
        ShareError: A share cannot be met.
    """
    model = compile_links(knowledge)
    if base is not None:
        chances = np.array([base[c] for c in model.causes])
        with np.errstate(divide="ignore"):
            return model.with_log_odds(np.log(chances) - np.log1p(-chances))
    kept = _read(model)
    if kept is not None:
        return model.with_log_odds(kept)
    solved = solve(model)
    _write(model, solved)
    return model.with_log_odds(solved)


def solve(model: Model) -> Array:
    """Log-odds of base chances [C] under which every share holds to ``CLOSE``.

    Raises:
        ShareError: A share cannot be met, or a cause's parents alone exceed it.
    """
    here = _start(model)
    places: list[Array] = []
    steps: list[Array] = []
    for _ in range(ROUNDS):
        after = leaking_after_complaint(model, here)
        if np.abs(after - model.shares).max() < CLOSE:
            return here
        places.append(here)
        steps.append(_logit(model.shares) - _logit(after))
        here = np.clip(_mixed(places[-MEMORY:], steps[-MEMORY:]), -FARTHEST, FARTHEST)
    raise _fault(model)


def near(model: Model, start: Array, rounds: int) -> Array:
    """Log-odds of base chances [C] that come near the shares, by plain steps from log-odds that are not far off.

    A share that other causes alone exceed is left to them, where ``solve`` calls it a fault.
    """
    here = start
    for _ in range(rounds):
        after = leaking_after_complaint(model, here)
        here = np.clip(here + _logit(model.shares) - _logit(after), -FARTHEST, FARTHEST)
    return here


def leaking_after_complaint(model: Model, log_odds: Array) -> Array:
    """P(leaks) [C] given "reported wet" at the place of the shares and nothing else."""
    network = Network(model.with_log_odds(log_odds), Evidence(model.complaint))
    states = network.posterior().states
    return network.states.sums(states, network.states.kind == LEAKING)[:, 0]


def _start(model: Model) -> Array:
    """Log-odds to begin with: a share is made of causes that are there, of which some are quiet."""
    there = model.shares / np.maximum(model.leaks, 1e-9)
    return np.minimum(_logit(model.shares), _logit(np.minimum(there, 0.9)))


def _logit(chances: Array) -> Array:
    inside = np.clip(chances, 1e-300, 1 - 1e-16)
    return np.asarray(np.log(inside) - np.log1p(-inside))


def _mixed(places: list[Array], steps: list[Array]) -> Array:
    """Where to go next: the mixture of earlier rounds whose steps cancel best, and the step from there."""
    if len(places) == 1:
        return places[0] + steps[0]
    moved = np.diff(np.array(places), axis=0).T
    changed = np.diff(np.array(steps), axis=0).T
    mix = np.linalg.lstsq(changed, steps[-1], rcond=None)[0]
    return np.asarray(places[-1] + steps[-1] - (moved + changed) @ mix)


def _fault(model: Model) -> ShareError:
    """Name the causes whose base chance runs away under plain steps, which settle the others."""
    here = near(model, _start(model), ROUNDS)
    after = leaking_after_complaint(model, here)
    off = np.abs(after - model.shares)
    wrong = [i for i in range(len(here)) if off[i] >= CLOSE and abs(here[i]) == FARTHEST]
    return ShareError({model.causes[i]: _reason(model, i, after[i]) for i in wrong or [int(off.argmax())]})


def _reason(model: Model, cause: int, after: float) -> str:
    name, share = model.causes[cause], 100 * model.shares[cause]
    if cause in model.parents and after > model.shares[cause]:
        return (
            f"cause {name}: the causes that lead to it alone make it leak in {100 * after:.3g} of 100 wet axles, "
            f"above its share of {share:.3g}; raise the share or weaken a link to it"
        )
    return (
        f"cause {name}: a share of {share:.3g} of 100 wet axles cannot be met, it comes to {100 * after:.3g} at most; "
        "lower the share, or let it leak oftener when present or reach the joint better"
    )


# -- the solution on file --------------------------------------------------------------------------------


def _file(model: Model) -> Path | None:
    """Where the solution for this knowledge is kept; nowhere for knowledge from no files, or without a cache."""
    folder = cache_folder() if model.knowledge.hash else None
    return None if folder is None else folder / f"shares-{model.knowledge.hash}.json"


def _read(model: Model) -> Array | None:
    """A solution on file, if it is one for this very model; anything else counts as none."""
    try:
        file = _file(model)
        kept = json.loads(file.read_text("utf-8")) if file else {}
        log_odds = np.array([float(kept[c]) for c in model.causes])
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    if not np.isfinite(log_odds).all():
        return None
    off = np.abs(leaking_after_complaint(model, log_odds) - model.shares).max()
    return log_odds if off < CLOSE else None


def _write(model: Model, log_odds: Array) -> None:
    """Keep a solution; a folder that cannot be written only costs time."""
    file = _file(model)
    if file is not None:
        text = json.dumps({c: float(x) for c, x in zip(model.causes, log_odds, strict=True)}, indent=1)
        with suppress(OSError):
            keep(file, text.encode())
