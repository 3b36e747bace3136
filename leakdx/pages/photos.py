"""Photos of a case as they stand on a page: small, with who took them and when."""

import io
from collections.abc import Callable

from leakdx.case import Case, Record
from leakdx.errors import StorageError
from leakdx.interview.readback import signed_by
from leakdx.pages.document import Photo
from leakdx.store.attachments import KINDS, Attachment, thumbnail

_MISSING = "its file is not at hand"


def photos_of(case: Case, file_of: Callable[[Record], Attachment | None]) -> tuple[Photo, ...]:
    """Every photo entry that stands. ``file_of`` fetches its file; one that cannot be shown is named all the same."""
    entries = (entry for entry in case.standing if isinstance(entry, Record) and entry.kind == "photo")
    return tuple(_photo(entry, file_of) for entry in entries)


def _photo(entry: Record, file_of: Callable[[Record], Attachment | None]) -> Photo:
    caption = f"Entry {entry.number}: {entry.note or entry.text[:12]} ({signed_by(entry)})"
    try:
        file = file_of(entry)
        small = thumbnail(file) if file is not None else None
    except StorageError as error:
        return Photo(f"{caption}: {error}")
    if file is None:
        return Photo(f"{caption}: {_MISSING}")
    return Photo(f"{caption}: {KINDS[file.kind].name}") if small is None else Photo(caption, small, _size(small))


def _size(jpeg: bytes) -> tuple[int, int]:
    from PIL import Image  # only where there are pictures

    with Image.open(io.BytesIO(jpeg)) as image:
        return image.size
