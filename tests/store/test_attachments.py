"""Photos and files: known by what they hold, capped, and without the place where they were taken."""

import io
import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from leakdx.errors import StorageError
from leakdx.store import attachments
from leakdx.store.attachments import KINDS, Attachment, checked_kind, read_attachment, thumbnail
from tests.store.pictures import EXPOSURE, GPS, MAKER, ORIENTATION, TAKEN, WHEN, claims_to_be, moving, picture

PDF = b"%PDF-1.7\nan axle maker's letter\n%%EOF\n"
TEXT = "time,temperature\n08:10,71 °C\n".encode()


def written(folder: Path, name: str, data: bytes) -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


@pytest.mark.parametrize(("format", "suffix"), [("JPEG", ".jpg"), ("PNG", ".png"), ("WEBP", ".webp")])
def test_of_a_photo_the_picture_its_time_and_its_orientation_are_kept_and_not_the_place(
    format: str, suffix: str, tmp_path: Path
) -> None:
    given = picture(format)
    assert b"where it was taken" in given
    kept = read_attachment(written(tmp_path, f"wet{suffix}", given))
    assert b"where it was taken" not in kept.data
    with Image.open(io.BytesIO(kept.data)) as image, Image.open(io.BytesIO(given)) as before:
        exif = image.getexif()
        assert (exif.get_ifd(EXPOSURE), exif.get_ifd(GPS), MAKER in exif) == ({TAKEN: WHEN}, {}, False)
        assert exif[ORIENTATION] == 6
        assert (image.format, image.size) == (format, before.size)
        pairs = zip(image.convert("L").tobytes(), before.convert("L").tobytes(), strict=True)
        assert max(abs(a - b) for a, b in pairs) <= 12


def test_where_it_is_asked_for_a_photo_stays_byte_for_byte(tmp_path: Path) -> None:
    given = picture()
    kept = read_attachment(written(tmp_path, "wet.JPG", given), keep_place=True)
    assert (kept.name, kept.kind, kept.data) == ("wet.JPG", "jpeg", given)


@pytest.mark.parametrize(("name", "kind", "data"), [("letter.pdf", "pdf", PDF), ("log.csv", "text", TEXT)])
def test_files_are_kept_as_they_are(name: str, kind: str, data: bytes, tmp_path: Path) -> None:
    assert read_attachment(written(tmp_path, name, data)) == Attachment(name, kind, data)


HUGE = claims_to_be(30_000, 30_000)
REFUSED = {
    "text called jpg": ("wet.jpg", b"hello", "holds plain text, which its name does not say"),
    "photo called txt": ("wet.txt", picture(), "holds a JPEG photo, which its name does not say"),
    "program": ("run.sh", b"#!/bin/sh\nrm -rf /\n", "holds plain text, which its name does not say"),
    "page": ("page.html", b"<script>alert(1)</script>", "holds plain text, which its name does not say"),
    "binary": ("wet", b"\x7fELF\x02\x01\xff\x00", "is not of a kind that is kept; JPEG, PNG and WebP"),
    "nothing": ("wet.jpg", b"", "is empty"),
    "huge claim": ("wet.png", HUGE, "has more than 60 million pixels"),
    "huge claim, less so": ("wet.png", claims_to_be(10_000, 9_000), "has more than 60 million pixels"),
    "cut off": ("wet.jpg", picture()[:-400], "is damaged or cut off"),
    "only a head": ("wet.jpg", picture()[:12], "cannot be read as a picture|is damaged or cut off"),
    "moving": ("wet.webp", moving(), "is a moving picture"),
    "phone's own": ("wet.heic", b"\0\0\0\x18ftypheic\0\0\0\0", "is a HEIF photo, which is not kept; set the phone to"),
    "steers": ("log.txt", b"a\x1b[2Jb", "is text with control characters or marks"),
    "turns round": ("log.txt", "a\u202egpj.exe".encode(), "is text with control characters or marks"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_is_not_kept_is_refused_in_one_sentence(what: str, tmp_path: Path) -> None:
    name, data, says = REFUSED[what]
    with pytest.raises(StorageError, match=says) as caught:
        read_attachment(written(tmp_path, name, data))
    assert str(caught.value).startswith(f"{tmp_path / name}: ")
    assert "\n" not in str(caught.value)


def test_a_file_beyond_the_cap_is_not_read_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path, "wet.jpg", b"")
    os.truncate(path, 1 << 40)
    monkeypatch.setattr(attachments, "MOST_BYTES", 1 << 20)
    with pytest.raises(StorageError, match="is larger than 1 MiB"):
        read_attachment(path)


@pytest.mark.parametrize("make", [os.mkdir, os.mkfifo, lambda path: None], ids=["folder", "pipe", "nothing"])
def test_what_is_no_file_is_refused_without_waiting(make: "os.PathLike[str]", tmp_path: Path) -> None:
    path = tmp_path / "wet.jpg"
    make(path)  # type: ignore[operator]
    with pytest.raises(StorageError, match=r"is no file|cannot be read"):
        read_attachment(path)


def test_a_name_that_steers_is_kept_without_what_steers(tmp_path: Path) -> None:
    name = "a\u202e\x1b[31mb\n" + "x" * 120 + ".pdf"
    kept = read_attachment(written(tmp_path, os.fsdecode(name.encode()), PDF))  # as a machine without UTF-8 has it too
    assert kept.name.startswith("a[31mb")
    assert len(kept.name) == 80


def test_a_thumbnail_is_small_upright_and_without_metadata() -> None:
    small = thumbnail(Attachment("wet.jpg", "jpeg", picture(size=(800, 600))))
    assert small is not None
    with Image.open(io.BytesIO(small)) as image:
        assert (image.format, image.size, dict(image.getexif())) == ("JPEG", (240, 320), {})
        red, _, blue = image.getpixel((180, 60))  # type: ignore[misc]
        assert blue > red  # the marked corner, turned with the picture
    assert thumbnail(Attachment("letter.pdf", "pdf", PDF)) is None


@settings(max_examples=60)
@given(
    kind=st.sampled_from(["JPEG", "PNG", "WEBP"]),
    at=st.integers(0, 10_000),
    with_=st.binary(min_size=1, max_size=40),
    cut=st.integers(0, 3_000),
)
def test_whatever_a_picture_holds_is_kept_or_refused_in_one_sentence(
    kind: str, at: int, with_: bytes, cut: int
) -> None:
    whole = picture(kind)
    at %= len(whole)
    data = (whole[:at] + with_ + whole[at + len(with_) :])[: len(whole) - cut % len(whole)]
    try:
        known = checked_kind(data, "x", "")
    except StorageError as error:
        known = str(error)
    assert known in KINDS or known.startswith("x: ")
