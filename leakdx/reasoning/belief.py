"""The exact posterior over all causes of a case, and the figures that answers and planning are made of."""

from collections.abc import Sequence
from functools import cached_property
from itertools import compress
from typing import NamedTuple

import numpy as np
from msgspec import structs
from numpy.typing import NDArray

from leakdx.errors import CaseError, TooWideError
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.compiled import Array, Model
from leakdx.reasoning.evidence import ActEvidence, Evidence, HistoryEvidence, SignEvidence
from leakdx.reasoning.network import Network
from leakdx.reasoning.nodes import Entered
from leakdx.reasoning.outlook import Outlook, outlooks
from leakdx.reasoning.shares import compile_model
from leakdx.reasoning.states import ABSENT, LEAKING, QUIET

__all__ = [
    "ActEvidence",
    "Baseline",
    "Belief",
    "Evidence",
    "HistoryEvidence",
    "Model",
    "Outlook",
    "SignEvidence",
    "compile_model",
]

Weighed = HistoryEvidence | SignEvidence
WIDE = 2**15
"""Cells of a case from which its evidence is weighed a few answers at a time: early ones are narrow alone."""
FEW = 5
AT_ONCE = 2**16
"""Cells of a look-ahead from which its questions are asked in two halves."""
WIDENED = 4
"""A look-ahead no more than so much wider than what is believed gains nothing by halves."""


class ContradictionError(CaseError):
    """What was entered cannot all be so, whatever the cause. ``signs``: those that contradict themselves."""

    def __init__(self, knowledge: Knowledge, signs: Sequence[str]) -> None:
        names = " and ".join(f'"{knowledge.name(s)}"' for s in signs)
        about = "no cause can explain all of it together"
        if signs:
            about = f"the answers to {names} differ though nothing was done that could change it"
        super().__init__(f"What was entered cannot all be so: {about}; withdraw the answer that is wrong.")
        self.signs = tuple(signs)


class Baseline(NamedTuple):
    """P(zone) and P(family) when brought in, by complaint and history alone: [Z] and [F]."""

    zones: Array
    families: Array


class Belief:
    """The posterior of one case. Arrays [C] are in the order of ``causes``, "not listed here" last.

    Raises:
        TooWideError: The case would need tables that are too large.
        ContradictionError: The evidence has no chance at all under the knowledge.
    """

    def __init__(self, model: Model, evidence: Evidence) -> None:
        self.model = model
        self.evidence = evidence
        self.causes = model.causes
        # What may be asked next makes tables wide; it is no part of what is believed.
        self._network = Network(model, structs.replace(evidence, askable=()))
        self._posterior = self._network.posterior()
        if self._network.draft.impossible or self._posterior.totals.mantissa[0] == 0:
            raise ContradictionError(model.knowledge, self._network.draft.impossible)

    # -- single causes -----------------------------------------------------------------------------------

    @cached_property
    def leaking(self) -> Array:
        """P(leaks now) [C]."""
        return self._sum([LEAKING])

    @cached_property
    def leaking_first(self) -> Array:
        """P(leaked when brought in, the last time that it was) [C]."""
        return self._sum([LEAKING], first=True)

    @cached_property
    def present(self) -> Array:
        """P(there now, leaking or quiet) [C]."""
        return self._sum([QUIET, LEAKING])

    @cached_property
    def quiet(self) -> Array:
        """P(there and quiet now) [C]."""
        return self._sum([QUIET])

    @cached_property
    def present_first(self) -> Array:
        """P(there when brought in, the last time that it was) [C]."""
        return self._sum([QUIET, LEAKING], first=True)

    @cached_property
    def log_evidence(self) -> float:
        """Natural logarithm of how probable all that was entered is, up to a constant of the case."""
        totals = self._posterior.totals
        return float(np.log(totals.mantissa[0]) + totals.exponent[0])

    def _sum(self, kinds: Sequence[int], *, first: bool = False) -> Array:
        return self._network.sums(self._posterior, kinds, first=first)[:, 0]

    # -- several causes together -------------------------------------------------------------------------

    def expect(self, now: Array | None = None, first: Array | None = None) -> Array:
        """Posterior mean of a product of multipliers, one for each cause: [B].

        Args:
            now: [B, C, 3] by (absent, quiet, leaking) in the last epoch; a cured cause counts as absent.
            first: [B, C, 3] by kind when brought in.
        """
        return self._network.totals(*self._network.by_kind(now, first)).ratio(self._posterior.totals)

    def zones(self) -> tuple[Array, Array]:
        """P(oil comes out of a zone) now and when brought in: [Z] each, in the order of the model."""
        return self._zones

    def families(self) -> tuple[Array, Array]:
        """P(any cause of a family leaks) now and when brought in: [F] each."""
        return self._families

    @cached_property
    def _zones(self) -> tuple[Array, Array]:
        now, first = np.empty((2, len(self.model.zones)))
        nodes = self._network.draft.nodes
        apart = [z for z, zone in enumerate(self.model.zones) if ("out", zone) not in nodes]
        sources = [self.model.zone_causes[self.model.zones[z]] for z in apart]
        now[apart], first[apart] = self._any(sources)
        for z, zone in enumerate(self.model.zones):
            if z in apart:
                continue
            node = nodes["out", zone]
            chances = self._posterior.nodes[node.key][:, 0]
            ends = (node.epochs.index(self.evidence.first_epoch), -1)
            first[z], now[z] = (sum(p for p, v in zip(chances, node.values, strict=True) if v[e]) for e in ends)
        return now, first

    @cached_property
    def _families(self) -> tuple[Array, Array]:
        return self._any([[(cause, 1.0) for cause in self.model.members[f]] for f in self.model.families])

    def _any(self, sources: Sequence[Sequence[tuple[int, float]]]) -> tuple[Array, Array]:
        """P(some cause leaks and gets through) now and first, for each list of (cause, chance)."""
        if not sources:
            return np.empty(0), np.empty(0)
        multipliers = np.ones((len(sources), len(self.causes), 3))
        for row, causes in zip(multipliers, sources, strict=True):
            for cause, chance in causes:
                row[cause, LEAKING] = 1 - chance
        neutral = np.ones_like(multipliers)
        none = self.expect(np.concatenate([multipliers, neutral]), np.concatenate([neutral, multipliers]))
        some = np.clip(1 - none, 0.0, 1.0)  # rounding may leave a hair below nought
        return some[: len(sources)], some[len(sources) :]

    def bad(self) -> dict[str, float]:
        """Doubt -> P(what it names is bad), by all that is known; as stated where nothing relies on it."""
        nodes = self._posterior.nodes
        return {d.id: float(nodes["bad", d.id][1, 0]) if ("bad", d.id) in nodes else d.chance
                for d in self.evidence.doubts}  # fmt: skip

    def baseline(self) -> Baseline:
        """Zones and families by complaint and history alone, against which a rise is judged."""
        evidence = self.evidence
        known = Evidence(evidence.complaint, evidence.history)
        if evidence.redraws or evidence.comebacks:
            known = structs.replace(evidence, signs=(), doubts=(), askable=())
        told = Belief(self.model, known)
        return Baseline(told.zones()[1], told.families()[1])

    # -- weights and outlook -----------------------------------------------------------------------------

    def weights(self) -> tuple[tuple[Weighed, ...], Array]:
        """How each answer moved each cause's log-odds of having leaked when brought in, as it was entered.

        Returns:
            The history and sign evidence in order of entry, and [K, C] decibans, which add up to all that
            was learned since the complaint. Infinite where a cause becomes impossible, or certain.
        """
        items: tuple[Weighed, ...] = (*self.evidence.history, *self.evidence.signs)
        order = sorted(range(len(items)), key=lambda i: items[i].entry)
        rank = np.empty(len(items), np.intp)
        rank[order] = np.arange(len(items))
        entered = rank[:, None] < np.arange(len(items) + 1)
        together = entered.shape[1] if self._network.cells < WIDE else FEW
        odds = [self._odds(entered[:, first : first + together]) for first in range(0, entered.shape[1], together)]
        with np.errstate(invalid="ignore"):
            steps = np.diff(np.concatenate(odds, axis=1), axis=1)
        return tuple(items[i] for i in order), np.nan_to_num(steps, nan=0.0, posinf=np.inf, neginf=-np.inf).T

    def _odds(self, entered: NDArray[np.bool_]) -> Array:
        """Decibans [C, B] of having leaked when brought in, with some of the evidence entered: [items, B]."""
        evidence = self.evidence
        some: NDArray[np.bool_] = np.any(entered, axis=1)
        split = len(evidence.history)
        told = structs.replace(
            evidence,
            history=tuple(compress(evidence.history, some[:split])),
            signs=tuple(compress(evidence.signs, some[split:])),
            askable=(),
        )
        network = Network(self.model, told, Entered(entered[:split][some[:split]], entered[split:][some[split:]]))
        found = network.posterior()
        leaked, not_leaked = (network.sums(found, kinds, first=True) for kinds in ([LEAKING], [ABSENT, QUIET]))
        with np.errstate(divide="ignore"):
            return np.asarray(10 * np.log10(leaked / not_leaked))

    def outlook(self, questions: Sequence[tuple[str, ...]], paths: Array) -> list[Outlook]:
        """What each question's joint results would say; see ``outlooks``.

        Many questions at once where that is narrow, fewer where it is not.

        Raises:
            TooWideError: A question is too wide alone.
        """
        if not questions:
            return []
        asked = tuple(dict.fromkeys(sign for question in questions for sign in question))
        try:
            network = Network(self.model, structs.replace(self.evidence, askable=asked), many=True)
            if len(questions) == 1 or network.cells <= max(AT_ONCE, WIDENED * self._network.cells):
                return outlooks(network, network.totals(), questions, paths)
        except TooWideError:
            if len(questions) == 1:
                raise
        half = len(questions) // 2
        return self.outlook(questions[:half], paths) + self.outlook(questions[half:], paths)
