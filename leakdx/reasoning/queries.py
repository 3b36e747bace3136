"""What is asked of a sum of products: its total and single marginals, for many cases at once, in chunks."""

from abc import ABC, abstractmethod
from collections.abc import Collection, Mapping, Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

CHUNK_CELLS = 2**18
"""Cells of the largest table times cases that are worked on together: what stays near the processor."""
CHUNK_CASES = 64
"""Cases that are worked on together even so, since numpy is slow on a short last axis."""
MEMORY_CELLS = 2**25
"""Cells of all tables times cases that are held at once."""
FAINT = 1e-200
"""A total below this may have lost parts of itself to underflow; the query is then run scaled."""


class Totals(NamedTuple):
    """Sums of products, as ``mantissa * exp(exponent)``; arrays [B]."""

    mantissa: Array
    exponent: Array

    def ratio(self, other: "Totals") -> Array:
        """This over other: [B]; 0 where this is 0."""
        return self.mantissa / other.mantissa * np.exp(self.exponent - other.exponent)


class Marginals(NamedTuple):
    """``single``: variable -> [size, B], each summing to 1; without meaning where the total is 0."""

    totals: Totals
    single: Mapping[int, Array]


class Queries(ABC):
    """A sum of products over variables. ``cells``: of all tables that a query makes for a case; ``largest``: of one.

    ``sizes``: of the variables. ``constants``: all arrays of the case itself whose last axis is the batch.
    """

    sizes: tuple[int, ...]
    cells: int
    largest: int
    constants: Sequence[Array]

    @abstractmethod
    def _chunk(
        self, unaries: Sequence[Array], cases: slice, wanted: Collection[int] | None, *, scaled: bool
    ) -> Marginals:
        """The query for some of the cases, those of ``unaries``; scaled on the way, or as it comes."""

    def totals(self, unaries: Sequence[Array]) -> Totals:
        """The sum over all variables of the product of all tables and ``unaries``.

        Args:
            unaries: For each variable [size, B or 1], multiplied into the product.
        """
        return self._run(unaries, None).totals

    def marginals(self, unaries: Sequence[Array], wanted: Collection[int] | None = None) -> Marginals:
        """The total and the marginals of the ``wanted`` variables (default: all) under the normalised product."""
        return self._run(unaries, range(len(self.sizes)) if wanted is None else wanted)

    def batch(self, unaries: Sequence[Array]) -> int:
        """How many cases a query with these is for."""
        return max(self._own_batch, max([array.shape[-1] for array in unaries], default=1))

    @cached_property
    def _own_batch(self) -> int:
        return max([array.shape[-1] for array in self.constants], default=1)

    def _run(self, unaries: Sequence[Array], wanted: Collection[int] | None) -> Marginals:
        """In chunks of cases; a chunk whose totals are faint once more with scaling."""
        batch = self.batch(unaries)
        near = max(CHUNK_CASES, CHUNK_CELLS // self.largest)
        chunk = max(1, min(near, MEMORY_CELLS // max(1, self.cells)))
        parts = []
        for first in range(0, batch, chunk):
            cases = slice(first, first + chunk)
            own = [of_cases(u, cases) for u in unaries]
            part = self._chunk(own, cases, wanted, scaled=False)
            if part.totals.mantissa.min() < FAINT:
                part = self._chunk(own, cases, wanted, scaled=True)
            parts.append(part if batch == 1 else _widened(part, min(chunk, batch - first)))
        return parts[0] if len(parts) == 1 else _join(parts)


def of_cases(array: Array, cases: slice) -> Array:
    """Some cases of the batch axis, where they differ at all."""
    return array if array.shape[-1] == 1 else array[..., cases]


def _widened(part: Marginals, width: int) -> Marginals:
    """With a column for each case, also where no case differs."""
    totals = Totals(*(np.broadcast_to(t, (width,)) for t in part.totals))
    return Marginals(totals, {v: np.broadcast_to(s, (len(s), width)) for v, s in part.single.items()})


def _join(parts: Sequence[Marginals]) -> Marginals:
    totals = Totals(
        np.concatenate([p.totals.mantissa for p in parts]), np.concatenate([p.totals.exponent for p in parts])
    )
    return Marginals(totals, {v: np.concatenate([p.single[v] for p in parts], axis=1) for v in parts[0].single})
