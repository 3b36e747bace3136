"""Cautions at the step that needs them, not all in front where nobody reads them any more."""

from collections.abc import Iterable

from leakdx.knowledge.model import Knowledge


class Cautions:
    """Cautions of one page: in full the first time on it, by name after that. ``said``: ids so far."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._knowledge = knowledge
        self.said: set[str] = set()

    def words(self, ids: Iterable[str]) -> tuple[str, ...]:
        """The cautions of one step."""
        made = []
        for id in ids:
            caution = self._knowledge.cautions[id]
            made.append(f"{caution.name} - as above" if id in self.said else caution.text)
            self.said.add(id)
        return tuple(made)
