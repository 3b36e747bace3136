"""What a page holds before it is HTML or PDF: blocks of words, tables to fill by pen, pictures.

Both kinds of page are made from the same blocks, so that they say the same. Nothing in a text is markup.
"""

from typing import Any, Literal

from msgspec import Struct, to_builtins

from leakdx.clean import clean
from leakdx.explain.tree import Branch

Tone = Literal["stop", "watch", "go", "plain"]
"""How a notice looks: its words say the same, so that nothing hangs on colour."""


Size = Literal["usual", "large", "wall", "huge"]


class Block(Struct, frozen=True, tag_field="kind", tag=str.lower):
    """A part of a page."""


class Heading(Block, frozen=True):
    """A heading below the page's own."""

    text: str
    level: Literal[2, 3] = 2


class Notice(Block, frozen=True):
    """What must not be read over; ``boxed``: with a box for the initials of who has seen to it."""

    tone: Tone
    head: str
    text: str = ""
    boxed: bool = False


class Say(Block, frozen=True):
    """A paragraph; ``label`` is set off before it."""

    text: str
    label: str = ""


class Points(Block, frozen=True):
    """A list; ``ticks``: with a box to tick before each point."""

    items: tuple[str, ...]
    ticks: bool = False


class Facts(Block, frozen=True):
    """Labels with what belongs to them."""

    rows: tuple[tuple[str, str], ...]


class Blanks(Block, frozen=True):
    """Labels, each with a line to write on."""

    labels: tuple[str, ...]
    columns: int = 2


class Column(Struct, frozen=True):
    """A column of a table: its head, its share of the width, and whether figures stand in it."""

    head: str
    wide: float = 1.0
    figures: bool = False


class Table(Block, frozen=True):
    """Rows under heads; an empty cell is a blank. ``pen``: rows high enough to write in; ``title`` says what it is."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    pen: bool = False


class Step(Struct, frozen=True):
    """A step of a job: its number, what to do, the cautions that it needs, and what is signed after it.

    ``done``, ``signed``: by whom and when, where that is written down already.
    """

    number: str
    do: str
    cautions: tuple[str, ...] = ()
    hold: str = ""
    done: str = ""
    signed: str = ""


class Steps(Block, frozen=True):
    """Steps in order, each with a box to tick and a line for initials at its hold."""

    steps: tuple[Step, ...]


class Picture(Block, frozen=True):
    """A drawing (SVG) and what it shows in words, which stand under it; ``wide``: its share of the page's width."""

    svg: str
    shows: str
    wide: float = 1.0


class Beside(Block, frozen=True):
    """Blocks to the left of a picture."""

    left: tuple[Block, ...]
    picture: Picture


class Photo(Struct, frozen=True):
    """A small picture (JPEG; None where there is none) with its size in pixels and what is written under it."""

    caption: str
    jpeg: bytes | None = None
    size: tuple[int, int] = (0, 0)


class Photos(Block, frozen=True):
    """Photos in rows."""

    photos: tuple[Photo, ...]


class Tree(Block, frozen=True):
    """Reasons down to what they stand on."""

    root: Branch


class NewPage(Block, frozen=True):
    """What follows begins a new sheet of paper."""


class Document(Struct, frozen=True, kw_only=True):
    """A page: ``about`` stands small under the title, ``foot`` at the foot of each sheet.

    ``size``: large is read at arm's length, wall from across the bay, huge through a windscreen.
    """

    title: str
    about: tuple[str, ...]
    blocks: tuple[Block, ...]
    foot: tuple[str, ...]
    size: Size = "usual"


def plain(document: Document | Block) -> dict[str, Any]:
    """The document, or a part of it, as plain lists and strings, all text cleaned; what both engines are given.

    A photo's bytes become base64 text.
    """
    made = _cleaned(to_builtins(document))
    assert isinstance(made, dict)
    return made


def _cleaned(value: object) -> object:
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, dict):
        return {key: _cleaned(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_cleaned(each) for each in value]
    return value
