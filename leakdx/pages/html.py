"""A page as one HTML file: no script, nothing fetched from elsewhere, readable on a phone, in the dark and on paper."""

import re
from base64 import b64encode
from functools import cache
from hashlib import sha256
from html import escape
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from leakdx.pages.document import Document, plain

_BEFORE_DRAWING = re.compile(r"\A.*?(?=<svg)", re.DOTALL)


def html_page(document: Document) -> bytes:
    """The whole file in UTF-8."""
    style, policy = _style()
    return _template().render(page=plain(document), style=style, policy=policy).encode("utf-8")


@cache
def _template() -> Template:
    # Everything that is put in is escaped, whatever the file is called; a name that is not there is an error.
    made = Environment(
        autoescape=True,
        undefined=StrictUndefined,
        loader=PackageLoader("leakdx.pages"),
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["drawing"] = _drawing
    return made.get_template("page.html.j2")


@cache
def _style() -> tuple[Markup, str]:
    """The style sheet, and the policy that lets a browser apply it, show what lies in the file, and nothing else."""
    style = (files("leakdx.pages") / "templates" / "page.css").read_text("utf-8")
    mark = b64encode(sha256(style.encode()).digest()).decode()
    return Markup(style), (
        f"default-src 'none'; style-src 'sha256-{mark}'; img-src data:; base-uri 'none'; form-action 'none'"
    )


def _drawing(svg: str, shows: str) -> Markup:
    """A drawing of ours within the page, with the words for whoever does not see it.

    Drawings escape what is typed (``diagrams``), so they are taken as they are.
    """
    bare = _BEFORE_DRAWING.sub("", svg)
    if 'role="img"' not in bare.split(">", 1)[0]:
        bare = bare.replace("<svg", f'<svg role="img" aria-label="{escape(shows, quote=True)}"', 1)
    return Markup(bare)
