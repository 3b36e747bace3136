"""What every number and sentence of the knowledge is marked with, whoever uses it."""

from typing import Annotated

from msgspec import Meta

COMMON_PRACTICE = "common practice, no source"
FROM_MEMORY = "from memory"
INVENTED = "invented for the demo"
PLAIN_MARKS = (COMMON_PRACTICE, FROM_MEMORY, INVENTED)


def ref(*kinds: str) -> Meta:
    """An id that must be defined by one of these kinds; the loader checks every such reference."""
    return Meta(extra={"ref": kinds}, extra_json_schema={"x-ref": list(kinds)})


SET_BY_LOADER = Meta(extra={"set_by_loader": True}, extra_json_schema={"x-set-by-loader": True})
"""Marks a field that no author writes."""

Text = Annotated[str, Meta(min_length=1)]
Mark = Annotated[str, ref("marks")]
"""One of PLAIN_MARKS, or the id of an entry of ``sources``."""
