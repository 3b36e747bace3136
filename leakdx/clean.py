"""Text from outside made safe to keep and to print: one function, used at import and at print."""

import re

_NEWLINES = re.compile("\r\n?|[\u0085\u2028\u2029]")
_UNWANTED = re.compile(
    "["
    "\x00-\x08\x0b-\x1f\x7f"  # C0 but tab and newline: escape codes among them
    "\x80-\x9f"  # C1: 0x9b alone starts an escape code on some terminals
    "\u202a-\u202e\u2066-\u2069"  # bidirectional overrides turn what is read away from what is stored
    "\ud800-\udfff"  # lone surrogates cannot be written as UTF-8
    "\u200b\u2060\ufeff\ufffe\uffff"  # of no width, so that two words that look alike differ
    "]"
)


def clean(text: str) -> str:
    """Return ``text`` without control characters, bidirectional overrides, blanks of no width and lone surrogates.

    Tabs stay, every kind of line end becomes one newline, all other Unicode stays as typed.
    """
    return _UNWANTED.sub("", _NEWLINES.sub("\n", text))


def clean_line(text: str) -> str:
    """As ``clean``, on one line: each run of white space becomes one blank, none at the ends."""
    return " ".join(clean(text).split())
