"""Draws the README's pictures from shipped cases: ``pip install '.[docs,test]' && python docs/pictures/make.py``."""

import asyncio
import re
from io import StringIO
from pathlib import Path

from rich._export_format import CONSOLE_SVG_FORMAT
from rich.console import Console
from rich.text import Text
from screens import draw

from leakdx.case import Case
from leakdx.diagrams.policy_tree import page_svg
from leakdx.diagrams.reasoning import reasoning_svg
from leakdx.explain.policy_tree import Book
from leakdx.explain.technician import technician_text
from leakdx.interview.measuring.picture import flange_of, flange_svg
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.reasoning.decision_tree import Compiler
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.casefile import read_case

HERE = Path(__file__).parent
CASE = HERE.parent / "cases" / "12-third-time-same-place.yaml"
FLANGE = HERE.parent.parent / "tests" / "cases" / "981-sixteen-numbers-on-a-sheet.yaml"
DRAWN = HERE.parent / "cases" / "03-breather-then-pinion.yaml"
LINES = 62
WITHOUT_REMOTE_FONTS = re.sub(r"@font-face \{\{.*?\}\}\s*", "", CONSOLE_SVG_FORMAT, flags=re.DOTALL)


def main() -> None:
    """Write the first screens of an answer, page 1 of the tree from a wet joint, reasoning and flange of a case."""
    knowledge = load_knowledge([shipped_folder()])
    case = read_case(CASE, knowledge)
    text = technician_text(knowledge, case, diagnose(knowledge, case))
    console = Console(record=True, width=82, file=StringIO())
    console.print(Text("\n".join(text.splitlines()[:LINES])))
    console.save_svg(str(HERE / "diagnose.svg"), title="leakdx diagnose", code_format=WITHOUT_REMOTE_FONTS)
    drawn = read_case(DRAWN, knowledge)
    tree = Compiler(knowledge).compile(Case(id="wet", complaint=knowledge.complaint, log=()))
    (HERE / "tree.svg").write_bytes(page_svg(Book(knowledge, tree, next(iter(knowledge.shops.values())).currency), 1))
    (HERE / "reasoning.svg").write_bytes(reasoning_svg(knowledge, drawn, diagnose(knowledge, drawn)))
    measured = read_case(FLANGE, knowledge)
    (HERE / "flange.svg").write_text(flange_svg(measured, flange_of(knowledge, measured)), encoding="utf-8")


if __name__ == "__main__":
    main()
    asyncio.run(draw())
