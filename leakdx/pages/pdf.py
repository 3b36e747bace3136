"""A page as PDF, by typst. All words are handed over as data, so that nothing typed into a case is read as markup."""

import json
import re
from importlib.resources import files

from leakdx.errors import ExitCode, LeakdxError
from leakdx.letters import needs_other_fonts
from leakdx.pages.document import Document, plain

_TOO_LONG = re.compile(r"\S{25,}")
_PIECE = 8
_NO_TEXT = ("svg", "jpeg")
_MAY_BREAK = "\u200b"
PAPERS = {"letter": "us-letter", "a4": "a4"}


class NoPdfError(LeakdxError):
    """There is no engine that makes PDFs, or it could not; the page as HTML says the same."""

    exit_code = ExitCode.STORAGE


def pdf_page(document: Document, paper: str = "letter") -> bytes:
    """The whole file, the same bytes for the same page. ``paper``: one of PAPERS.

    Raises NoPdfError in one sentence that says what would help.
    """
    try:
        import typst
    except ImportError as error:
        raise NoPdfError("there is no engine that makes PDFs; install it with 'pip install typst'") from error
    template = (files("leakdx.pages") / "templates" / "page.typ").read_bytes()
    data = json.dumps(_breakable(plain(document)), ensure_ascii=False)
    try:
        made = typst.compile(
            template,
            sys_inputs={"page": data, "paper": PAPERS[paper]},
            # The fonts in the engine are the same everywhere; others are looked for where those lack a letter.
            ignore_system_fonts=not needs_other_fonts(data),
            timestamp=0,
        )
    except typst.TypstError as error:
        raise NoPdfError(f"the PDF could not be made ({str(error).splitlines()[0][:200]})") from error
    assert isinstance(made, bytes)
    return made


def _breakable(value: object) -> object:
    """The same with places to break in words that are longer than a line; typst finds none of its own in those."""
    if isinstance(value, str):
        return _TOO_LONG.sub(lambda found: _MAY_BREAK.join(re.findall(f".{{1,{_PIECE}}}", found[0])), value)
    if isinstance(value, dict):
        return {key: each if key in _NO_TEXT else _breakable(each) for key, each in value.items()}
    return [_breakable(each) for each in value] if isinstance(value, list) else value
