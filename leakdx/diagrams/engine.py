"""From a DOT text to a picture: by the system's ``dot``, or by the embedded engine where there is none."""

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution

from leakdx.errors import LeakdxError

SYSTEM, EMBEDDED = "dot", "graphviz-pure"
TIMEOUT_SECONDS = 20
LARGEST_BYTES = 1_000_000
WIDEST, HIGHEST = 11 * 72.0, 15 * 72.0
"""Points of the space that a picture is made to fit in."""
_SIZE = re.compile(rb'width="([\d.]+)pt" height="([\d.]+)pt"')


class DiagramError(LeakdxError):
    """No engine could lay the diagram out."""


def svg(dot: str) -> bytes:
    """The picture of a DOT text as SVG, without a document type, so that nothing is looked up elsewhere.

    Raises:
        DiagramError: There is no engine, or none that is there could lay it out; the message says what would help.
    """
    data = dot.encode("utf-8")
    if len(data) > LARGEST_BYTES:
        raise DiagramError(f"the diagram is too large to be laid out ({len(data)} bytes, at most {LARGEST_BYTES})")
    troubles = []
    for engine in engines():
        made, trouble = _run(engine, data)
        if made is not None:
            return made
        troubles.append(f"{os.path.basename(engine)} {trouble}")
    if troubles:
        raise DiagramError(f"the diagram could not be laid out ({'; '.join(troubles)}); draw it to a .dot file instead")
    raise DiagramError(
        f"there is no engine to lay the diagram out; install it with 'pip install {EMBEDDED}', or draw to a .dot file"
    )


def engines() -> Iterator[str]:
    """Absolute paths of the engines to try, in order."""
    for found in (shutil.which(SYSTEM), _embedded(), shutil.which(EMBEDDED)):
        if found is not None:
            yield os.path.abspath(found)


def _embedded() -> str | None:
    """The program that the wheel brought, wherever it was installed to; it has no Python code to import."""
    try:
        files = distribution(EMBEDDED).files or ()
    except PackageNotFoundError:
        return None
    programs = [str(file.locate()) for file in files if file.stem == EMBEDDED and file.suffix in ("", ".exe")]
    return next((program for program in programs if os.access(program, os.X_OK)), None)


def _run(engine: str, data: bytes) -> tuple[bytes | None, str]:
    """(picture, what went wrong): one of the two."""
    try:
        done = subprocess.run([engine, "-Tsvg"], input=data, capture_output=True, timeout=TIMEOUT_SECONDS, check=False)
    except subprocess.TimeoutExpired:
        return None, f"did not finish within {TIMEOUT_SECONDS} s"
    except OSError as error:
        return None, f"cannot be started: {error.strerror or error}"
    start = done.stdout.find(b"<svg")
    if done.returncode != 0 or start < 0:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        return None, f"failed: {said[0][:200]}" if said else f"failed with code {done.returncode}"
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + _fitted(done.stdout[start:]), ""


def _fitted(svg: bytes) -> bytes:
    """Made smaller where it is too large. An engine that is told a size rounds its scale, and cuts the edge off."""
    found = _SIZE.search(svg)
    if found is None:
        return svg
    width, height = float(found[1]), float(found[2])
    scale = min(1.0, WIDEST / width, HIGHEST / height)
    return svg.replace(found[0], f'width="{width * scale:.0f}pt" height="{height * scale:.0f}pt"'.encode(), 1)
