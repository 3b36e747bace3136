"""From the words of the trade to words that need no trade, by the table in the knowledge."""

import re
from collections.abc import Mapping

from leakdx.clean import clean_line


def plain_words(table: Mapping[str, str], text: str) -> str:
    """The text with every word or phrase of the table replaced, the longest first; capitals at a beginning are kept."""
    if not table:
        return clean_line(text)
    meaning = {trade.casefold(): plain for trade, plain in table.items()}
    longest_first = sorted(meaning, key=lambda trade: (-len(trade), trade))
    pattern = re.compile(rf"(?<!\w)({'|'.join(map(re.escape, longest_first))})(?!\w)", re.IGNORECASE)

    def replaced(found: re.Match[str]) -> str:
        plain = meaning[found[0].casefold()]
        return plain[:1].upper() + plain[1:] if found[0][0].isupper() else plain

    return pattern.sub(replaced, clean_line(text))
