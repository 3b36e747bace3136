"""Cautions at the step that needs them, not all in front where nobody reads them any more."""

from collections.abc import Iterable

from leakdx.knowledge.model import Knowledge


class Cautions:
    """Cautions of one page: in full the first time on it, by name after that. ``said``: ids so far."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._knowledge = knowledge
        self.said: set[str] = set()

    def words(self, ids: Iterable[str]) -> tuple[str, ...]:
        """The cautions of one step; those said before on one line."""
        again, fresh = [], []
        for id in dict.fromkeys(ids):
            caution = self._knowledge.cautions[id]
            if id in self.said:
                again.append(caution.name)
            else:
                fresh.append(caution.text)
            self.said.add(id)
        return (*fresh, *([f"as above - {'; '.join(again)}"] if again else ()))
