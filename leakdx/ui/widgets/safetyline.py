"""May it be driven and what is held, on one line that stands over a page of work."""

from typing import TYPE_CHECKING

from leakdx.ui.widgets.plain import Plain, plain

if TYPE_CHECKING:
    from leakdx.explain.glance import Glance


class SafetyLine(Plain):
    """Fit to drive first, then how many holds stand: neither is ever cut off. The reason and the first hold follow."""

    def show(self, now: "Glance") -> None:
        """Show a case at a glance."""
        urgent = now.fit in ("no", "recheck")
        fit = now.fit_words.upper() if urgent else now.fit_words.capitalize()
        held = f"HOLD {len(now.holds)} (key h)" if now.holds else "no hold stands"
        said = [now.fit_reason] if urgent and now.fit_reason else []
        said += [hold.text for hold in now.holds[:1]]
        self.say(plain(f"{fit}; {held}", "bold") + plain("".join(f"   {text}" for text in said)))
        self.set_class(now.fit == "no", "danger")
        self.set_class(now.fit == "recheck", "care")
