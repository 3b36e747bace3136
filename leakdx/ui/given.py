"""What the screen is started with."""

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from leakdx.knowledge.model import Knowledge
    from leakdx.store.settings import Ways
    from leakdx.store.source import KnowledgeSource


class Given(NamedTuple):
    """What the caller has: how to load, which is done on the bench, and what was typed on the command line."""

    knowledge: "Callable[[], Knowledge]"
    """With the shop's settings laid over."""
    source: "Callable[[], KnowledgeSource]"
    ways: "Callable[[], Ways]"
    store: str | None = None
    who: str = ""
    bay: str = ""
    case: str | None = None
    """To go on with at once."""
