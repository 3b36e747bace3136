"""May it be driven and what is held, on one line that stands over a page of work."""

from typing import TYPE_CHECKING

from leakdx.ui.widgets.plain import Plain, plain

if TYPE_CHECKING:
    from leakdx.explain.glance import Glance


class SafetyLine(Plain):
    """Fit to drive first; the first hold after it."""

    def show(self, now: "Glance") -> None:
        """Show a case at a glance."""
        urgent = now.fit in ("no", "recheck")
        fit = f"{now.fit_words.upper()}: {now.fit_reason}" if urgent else now.fit_words.capitalize()
        held = f"HOLD {len(now.holds)} (key h): {now.holds[0].text}" if now.holds else "no hold stands"
        self.say(plain(f"{fit}   " if urgent else f"{fit}; ", "bold") + plain(held))
        self.set_class(now.fit == "no", "danger")
        self.set_class(now.fit == "recheck", "care")
