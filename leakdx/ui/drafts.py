"""What stands half typed on the pages of one case, kept as it is typed: a flat battery costs a letter or two."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import TYPE_CHECKING

from leakdx.errors import LeakdxError
from leakdx.store.draft import Draft

if TYPE_CHECKING:
    from leakdx.store.home import CaseHome


class Drafts:
    """``behind`` does what it is given after all that it was given before, beside the bench, which may be busy."""

    def __init__(self, home: "CaseHome", behind: Callable[[Callable[[], None]], None]) -> None:
        """Reads what was left: on the bench only. Raises StorageError."""
        self._home, self._behind = home, behind
        self._now = home.drafts()
        self._waiting: set[str] = set()
        """Pages of which the last letters are about to be kept."""

    @property
    def titles(self) -> tuple[str, ...]:
        """What stands half typed, in words."""
        return tuple(draft.title for draft in self._now.values())

    def page(self, name: str, title: str) -> "PageDraft":
        """The draft of a page. ``title``: what is typed there and by which key one comes back to it."""
        return PageDraft(self, name, title)

    def of(self, page: str) -> Draft | None:
        """What stands half typed on a page."""
        return self._now.get(page)

    def keep(self, page: str, draft: Draft | None) -> None:
        """From now on this stands there; None: nothing does."""
        if draft is None:
            if self._now.pop(page, None) is None:
                return
        elif draft == self._now.get(page):
            return
        else:
            self._now[page] = draft
        if page not in self._waiting:  # many letters, one after the other, are kept at once
            self._waiting.add(page)
            self._behind(lambda: self._put(page))

    def _put(self, page: str) -> None:
        self._waiting.discard(page)
        with suppress(LeakdxError):  # it stands on the screen all the same; writing it down says why it cannot be
            self._home.keep_draft(page, self._now.get(page))


class PageDraft:
    """What stands half typed on one page."""

    def __init__(self, drafts: Drafts, name: str, title: str) -> None:
        self._drafts, self._name, self._title = drafts, name, title

    @property
    def left(self) -> Draft | None:
        """What was left there."""
        return self._drafts.of(self._name)

    def keep(self, field: str, *, typed: Mapping[str, str] | None = None, line: str = "") -> None:
        """Keep what stands in the field, and what was taken already; nothing at all: there is no draft."""
        typed = typed or {}
        draft = Draft(title=self._title, typed=dict(typed), line=line, field=field) if field or typed else None
        self._drafts.keep(self._name, draft)

    def drop(self) -> None:
        """It was written down, or thrown away."""
        self._drafts.keep(self._name, None)

    def written_by(self, act: Callable[[], tuple[str, ...]]) -> Callable[[], tuple[str, ...]]:
        """An act that writes down what is typed here: once it was taken nothing stands here half typed any more."""

        def done() -> tuple[str, ...]:
            written = act()
            self.drop()
            return written

        return done
