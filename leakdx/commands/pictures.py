"""How commands write a picture: as SVG, as PNG, or as the text that it is laid out from."""

from argparse import Namespace
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from leakdx.commands.output import say_bytes, talk
from leakdx.errors import UsageError
from leakdx.store.files import USUAL, write_new

TO_OUTPUT = "-"
SVG, PNG, DOT = ".svg", ".png", ".dot"


@dataclass(frozen=True)
class Drawn:
    """A picture, made when it is asked for. ``dot`` is None where it is not laid out from a DOT text."""

    svg: Callable[[], bytes]
    dot: Callable[[], str] | None = None


def kind_of(args: Namespace, *, has_dot: bool = True) -> str:
    """The ending of the file that is asked for; SVG for standard output. Raises UsageError before anything is made."""
    kinds = (SVG, PNG, DOT) if has_dot else (SVG, PNG)
    kind = SVG if args.out == TO_OUTPUT else Path(args.out).suffix.lower()
    if kind not in kinds:
        named = f"{', '.join(kinds[:-1])} or {kinds[-1]}"
        raise UsageError(f"'{args.out}' does not end in {named}; name it so, or - for standard output")
    if args.dark and kind == DOT:
        raise UsageError("--dark is for .svg and .png; a .dot file is text")
    return kind


def as_bytes(picture: Drawn, kind: str, *, on_dark: bool) -> bytes:
    """A picture as what it is asked for. Raises DiagramError."""
    if kind == DOT:
        assert picture.dot is not None
        return picture.dot().encode()
    from leakdx.diagrams.dark import dark, grey

    made = dark(picture.svg()) if on_dark else picture.svg()
    if kind != PNG:
        return made
    from leakdx.diagrams.png import png

    return png(made, grey(0xFF)) if on_dark else png(made)


def put(made: bytes, out: str, *, force: bool) -> None:
    """To standard output, or into a file."""
    if out == TO_OUTPUT:
        say_bytes(made)
    else:
        write_new(Path(out), made, replace=force, mode=USUAL)
        talk(f"{out} is written")
