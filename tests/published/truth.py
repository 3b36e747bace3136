"""What trucks are drawn from: knowledge as it is taken to be so, whatever the one who diagnoses has been told."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import msgspec
import numpy as np

from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.belief import compile_model
from leakdx.reasoning.repair import Means
from tests.published.reference.reader import Meaning, understand


@dataclass(frozen=True)
class Truth:
    """Knowledge, as the sampler reads it, and the base chances under which its shares hold."""

    knowledge: Knowledge
    meaning: Meaning
    base: Mapping[str, float]

    @cached_property
    def free(self) -> Means:
        """What the first shop could do if no rule stood in the way."""
        shop = next(iter(self.knowledge.shops.values()))
        return Means(self.knowledge, shop, tuple(self.meaning.causes), {}, (), (), (), frozenset())


def truth_of(knowledge: Knowledge) -> Truth:
    """Raises ShareError where its shares cannot be met."""
    model = compile_model(knowledge)
    base = dict(zip(model.causes, (1 / (1 + np.exp(-model.log_odds))).tolist(), strict=True))
    return Truth(knowledge, understand(as_written(knowledge)), base)


def as_written(knowledge: Knowledge) -> dict[str, Any]:
    """Loaded knowledge as the tree that its files would hold, so that one made in memory can be drawn from too."""
    tree: dict[str, Any] = _plain(msgspec.to_builtins(knowledge))
    tree["signs"] = {id: sign for id, sign in tree["signs"].items() if not sign["place"]}
    return tree


def _plain(value: Any) -> Any:
    """Flags as words, and nothing where nothing was written."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items() if inner is not None}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return value
