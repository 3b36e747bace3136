"""Photos and files of a case: what a file is by its content, what of it is kept, and its small picture.

Nothing here is ever run or opened with another program. A photo is written anew from its pixels, so that neither the
place where it was taken nor anything hidden behind the picture is kept, unless it is asked to stay as it is.
"""

import io
import stat
import warnings
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from msgspec import Struct

from leakdx.clean import clean, clean_line
from leakdx.errors import StorageError
from leakdx.store.files import fingerprint, reason

if TYPE_CHECKING:
    from PIL.Image import Exif, Image

_T = TypeVar("_T")

MOST_BYTES = 20 << 20
"""Of one file. A photo of a phone has 2 to 10 MB."""
MOST_PIXELS = 60_000_000
"""Of one photo; opened it takes three or four bytes for each."""
SMALL = 320
"""Longest side of a thumbnail, in pixels."""
_LONGEST_NAME = 80

_ORIENTATION, _CHANGED, _TAKEN, _TAKEN_ZONE, _EXPOSURE = 0x0112, 0x0132, 0x9003, 0x9011, 0x8769
_NOT_METADATA = ("transparency", "icc_profile", "gamma")
"""What Pillow hands over beside the pixels that belongs to how they look."""
_LOOKS_LIKE = (
    (b"\xff\xd8\xff", "jpeg"),
    (b"\x89PNG\r\n\x1a\n", "png"),
    (b"%PDF-", "pdf"),
)


class Kind(Struct, frozen=True):
    """A kind of file that is kept; the first suffix is the one that it is written with."""

    name: str
    suffixes: tuple[str, ...]


KINDS: Mapping[str, Kind] = {
    "jpeg": Kind("a JPEG photo", (".jpg", ".jpeg")),
    "png": Kind("a PNG picture", (".png",)),
    "webp": Kind("a WebP picture", (".webp",)),
    "pdf": Kind("a PDF", (".pdf",)),
    "text": Kind("plain text", (".txt", ".csv", ".log")),
}
_PICTURES = ("jpeg", "png", "webp")
_KEPT = "JPEG, PNG and WebP pictures, PDFs and plain text (.txt, .csv, .log) are kept"


class Attachment(Struct, frozen=True):
    """A file as it is kept. ``kind``: a key of KINDS; ``name``: what it was called where it came from."""

    name: str
    kind: str
    data: bytes

    @property
    def sha256(self) -> str:
        """The name of its content."""
        return fingerprint(self.data)


def read_attachment(path: Path, *, keep_place: bool = False) -> Attachment:
    """A file to attach, a photo without its metadata but time and orientation; ``keep_place``: byte for byte.

    Raises StorageError where it cannot be read or is none of what is kept.
    """
    name = clean_line(path.name)[:_LONGEST_NAME] or "unnamed"
    data = _read_regular(path)
    kind = checked_kind(data, str(path), path.suffix)
    if keep_place or kind not in _PICTURES:
        return Attachment(name, kind, data)
    return Attachment(name, kind, _opened(data, str(path), lambda image: _written_anew(image, kind)))


def checked_kind(data: bytes, shown: str, suffix: str) -> str:
    """The kind of these bytes, whole and within the caps. ``shown``: their name in sentences.

    Raises StorageError where they are damaged, too large, none of what is kept, or not what the suffix says.
    """
    if len(data) > MOST_BYTES:
        raise StorageError(f"{shown}: is larger than {MOST_BYTES >> 20} MiB; attach a smaller copy")
    if not data:
        raise StorageError(f"{shown}: is empty; attach a file that holds something")
    kind = _kind(data)
    suffix = clean_line(suffix).lower()[:12]
    if kind is None:
        raise StorageError(f"{shown}: {_why_not(data)}")
    if suffix and suffix not in KINDS[kind].suffixes:
        right = f"name it {KINDS[kind].suffixes[0]} if that is meant, or attach the right file"
        raise StorageError(f"{shown}: holds {KINDS[kind].name}, which its name does not say; {right}")
    if kind in _PICTURES:
        _opened(data, shown, lambda image: image.load())
    return kind


def thumbnail(attachment: Attachment, longest: int = SMALL) -> bytes | None:
    """A small JPEG without metadata, upright, at most so many pixels long and wide; None where it is no picture.

    Raises StorageError where the picture cannot be read.
    """
    if attachment.kind not in _PICTURES:
        return None
    return _opened(attachment.data, attachment.name, lambda image: _made_small(image, longest))


# -- what it is ---------------------------------------------------------------------------------------------


def _read_regular(path: Path) -> bytes:
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # a pipe would be waited for without end
            raise StorageError(f"{path}: is no file; name the photo itself")
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = reason(error) if isinstance(error, OSError) else "its name cannot be one"
        raise StorageError(f"{clean_line(str(path))}: cannot be read ({why})") from error


def _kind(data: bytes) -> str | None:
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "webp"
    for mark, kind in _LOOKS_LIKE:
        if data.startswith(mark):
            return kind
    return "text" if _is_text(data) else None


def _is_text(data: bytes) -> bool:
    """Whether it is UTF-8 without anything that steers a terminal or turns the reading direction."""
    with suppress(UnicodeDecodeError):
        text = data.decode("utf-8-sig")
        return clean(text) == text.replace("\r\n", "\n")
    return False


def _why_not(data: bytes) -> str:
    """Why bytes that are of no kind are not kept, and what would be right."""
    if data[4:8] == b"ftyp" and data[8:12] in (b"heic", b"heix", b"heif", b"mif1", b"msf1", b"avif"):
        return "is a HEIF photo, which is not kept; set the phone to JPEG, or save it as one"
    with suppress(UnicodeDecodeError):
        if "\0" not in data.decode("utf-8-sig"):
            return "is text with control characters or marks that turn the reading direction; save it without them"
    return f"is not of a kind that is kept; {_KEPT}"


# -- pictures -----------------------------------------------------------------------------------------------


def _opened(data: bytes, shown: str, use: "Callable[[Image], _T]") -> _T:
    """What ``use`` makes of a picture. Raises StorageError where it is too large, damaged or a moving one."""
    from PIL import Image, UnidentifiedImageError  # only where there are pictures

    too_large = f"{shown}: has more than {MOST_PIXELS // 1_000_000} million pixels; attach a smaller copy"
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as image:
                if image.width * image.height > MOST_PIXELS:
                    raise StorageError(too_large)
                if getattr(image, "n_frames", 1) > 1 and image.format != "MPO":  # phones put a depth map behind
                    raise StorageError(f"{shown}: is a moving picture; attach a single one")
                return use(image)
    except StorageError:
        raise
    except Image.DecompressionBombError as error:
        raise StorageError(too_large) from error
    except UnidentifiedImageError as error:
        raise StorageError(f"{shown}: cannot be read as a picture; copy it from the camera again") from error
    except Exception as error:  # decoders meet crafted files with every kind of error
        raise StorageError(f"{shown}: is damaged or cut off; copy it from the camera again") from error


def _written_anew(image: "Image", kind: str) -> bytes:
    """The picture from its pixels, in the quality that it had, with time and orientation."""
    # Pillow names the type of a JPEG's own tables only on its own class.
    from PIL import JpegImagePlugin

    image.load()
    how: dict[str, Any] = {}
    if kind == "jpeg":
        how = {"qtables": getattr(image, "quantization", None), "optimize": True}
        how["subsampling"] = JpegImagePlugin.get_sampling(image)
    elif kind == "webp":
        how = {"quality": 95}
    exif = _time_and_orientation(image)
    image.info = {key: value for key, value in image.info.items() if key in _NOT_METADATA}
    made = io.BytesIO()
    image.save(made, kind.upper(), exif=exif, icc_profile=image.info.get("icc_profile"), **how)
    return made.getvalue()


def _time_and_orientation(image: "Image") -> "Exif":
    from PIL import Image

    made = Image.Exif()
    with suppress(Exception):  # metadata that cannot be read is left out
        given = image.getexif()
        made.update({tag: given[tag] for tag in (_ORIENTATION, _CHANGED) if tag in given})
        exposure = given.get_ifd(_EXPOSURE)
        made.get_ifd(_EXPOSURE).update({tag: exposure[tag] for tag in (_TAKEN, _TAKEN_ZONE) if tag in exposure})
    return made


def _made_small(image: "Image", longest: int) -> bytes:
    from PIL import Image, ImageOps

    image.draft("RGB", (2 * longest, 2 * longest))
    upright = ImageOps.exif_transpose(image).convert("RGBA" if image.has_transparency_data else "RGB")
    upright.thumbnail((longest, longest))
    flat = Image.new("RGB", upright.size, "white")
    flat.paste(upright, mask=upright if upright.mode == "RGBA" else None)
    made = io.BytesIO()
    flat.save(made, "JPEG", quality=80)
    return made.getvalue()
