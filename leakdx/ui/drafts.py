"""What stands half typed on the pages of one case, kept as it is typed: a flat battery costs a letter or two."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from leakdx.errors import LeakdxError
from leakdx.store.draft import Draft

if TYPE_CHECKING:
    from leakdx.store.home import CaseHome

LEFT = "Left half typed"


class Drafts:
    """``behind`` does what it is given after all that it was given before, beside the bench, which may be busy."""

    def __init__(self, home: "CaseHome", behind: Callable[[Callable[[], None]], None]) -> None:
        """Reads what was left: on the bench only. Raises StorageError."""
        self._home, self._behind = home, behind
        self._now = home.drafts()
        self._waiting: set[str] = set()
        """Pages of which the last letters are about to be kept."""
        self._unkept: set[str] = set()
        """Pages of which they could not be: tried again with the next letter typed on any page."""
        self._is_told = False
        self.tell: Callable[[str], None] = lambda why: None
        """Told, once and from any thread, why what is typed cannot be kept; anew after it could be again."""

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
        self._unkept.add(page)
        try:
            for name in sorted(self._unkept):
                self._home.keep_draft(name, self._now.get(name))
                self._unkept.discard(name)
        except LeakdxError as error:  # it stands on the screen all the same
            if not self._is_told:
                self._is_told = True
                self.tell(str(error))
        else:
            self._is_told = False


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
