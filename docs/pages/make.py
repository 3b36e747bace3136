"""Makes the example pages anew from shipped cases: ``python docs/pages/make.py``."""

from pathlib import Path

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.pages.document import Document
from leakdx.pages.html import html_page
from leakdx.pages.pdf import pdf_page
from leakdx.pages.readers import PAGES
from leakdx.pages.wall import wall_page
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.casefile import read_case

HERE = Path(__file__).parent
CASES = ("01-pinion-seal", "06-face-over-the-limit", "08-too-little-to-open")


def main() -> None:
    """Write every page of each case, and the sheets for the wall, as HTML and as PDF."""
    knowledge = load_knowledge([shipped_folder()])
    for name in CASES:
        made = diagnose(knowledge, read_case(HERE.parent / "cases" / f"{name}.yaml", knowledge))
        for reader, page in PAGES.items():
            write(f"{name[:2]}-{reader}", page(made))
    write("wall", wall_page(knowledge, None))


def write(name: str, page: Document) -> None:
    """One page in both forms."""
    (HERE / f"{name}.html").write_bytes(html_page(page))
    (HERE / f"{name}.pdf").write_bytes(pdf_page(page))


if __name__ == "__main__":
    main()
