"""What is heard of the lines of a list: it may come late, when other lines stand there."""

from textual.widgets import OptionList


def still_there(event: OptionList.OptionMessage) -> bool:
    """Whether the line that was marked or chosen still stands where it stood."""
    rows, at = event.option_list, event.option_index
    return at < rows.option_count and rows.get_option_at_index(at) is event.option
