"""A list of lines, of which one is marked."""

from textual.widgets import OptionList


class Rows(OptionList):
    """The marked line is never out of sight, even where something beside the list takes room from it."""

    def on_resize(self) -> None:
        """There is more room, or less."""
        self.call_after_refresh(self.scroll_to_highlight)


def still_there(event: OptionList.OptionMessage) -> bool:
    """Whether the line that was marked or chosen still stands where it stood: it may be heard of late."""
    rows, at = event.option_list, event.option_index
    return at < rows.option_count and rows.get_option_at_index(at) is event.option
