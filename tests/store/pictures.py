"""Pictures for tests, small ones of every kind that is kept, made with all the metadata that a phone adds."""

import io
import struct
import zlib

from PIL import Image

GPS, EXPOSURE, ORIENTATION, MAKER, TAKEN = 0x8825, 0x8769, 0x0112, 0x010F, 0x9003
WHEN = "2026:03:02 08:10:00"


def picture(kind: str = "JPEG", size: tuple[int, int] = (64, 48), shade: int = 90) -> bytes:
    """A picture with place, device, comment and time, lying on its side. ``shade`` makes it differ from others."""
    image = Image.linear_gradient("L").resize(size).convert("RGB")
    image.paste((shade, 40, 200), (0, 0, size[0] // 2, size[1] // 2))
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = 6, "a phone of the demo"
    exif.get_ifd(GPS).update({1: "N", 2: (48.0, 8.0, 10.0), 3: "E", 4: (11.0, 30.0, 0.0)})
    exif.get_ifd(EXPOSURE).update({TAKEN: WHEN, 0x927C: b"where it was taken"})
    beside = {"comment": b"where it was taken"} if kind == "JPEG" else {}
    made = io.BytesIO()
    image.save(made, kind, exif=exif, xmp=b"<x>where it was taken</x>", **beside)
    return made.getvalue()


def claims_to_be(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose head claims so many pixels."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 9)) + chunk(b"IEND", b"")


def moving() -> bytes:
    """A WebP of two pictures."""
    made = io.BytesIO()
    frames = [Image.new("RGB", (8, 8), colour) for colour in ("red", "blue")]
    frames[0].save(made, "WEBP", save_all=True, append_images=frames[1:])
    return made.getvalue()
