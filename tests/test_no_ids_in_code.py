"""Knowledge is data: no id that knowledge/ defines is written as a string anywhere in the program."""

import ast
from pathlib import Path

import pytest

import leakdx
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import NOT_LISTED, Knowledge

PACKAGE = Path(leakdx.__file__).parent
FILES = sorted(PACKAGE.rglob("*.py"))


def ids_of(knowledge: Knowledge) -> set[str]:
    """Every id of every kind, the generated place signs included. Answers and outcomes are words, not ids."""
    kinds = [getattr(knowledge, field) for field in knowledge.__struct_fields__]
    return {id for kind in kinds if isinstance(kind, dict) for id in kind} - {NOT_LISTED}


def strings_in(source: str) -> dict[str, int]:
    """String literal -> line. The words of a ``Literal`` type are left out: they are the format's own, not ids."""
    found: dict[str, int] = {}
    waiting: list[ast.AST] = [ast.parse(source)]
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            found[node.value] = node.lineno
        if not (isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id == "Literal"):
            waiting.extend(ast.iter_child_nodes(node))
    return found


@pytest.fixture(scope="module")
def ids() -> set[str]:
    return ids_of(load_knowledge([shipped_folder()]))


def test_the_search_would_find_an_id(ids: set[str]) -> None:
    assert len(ids) > 200
    some = sorted(ids)[0]
    assert strings_in(f"x = 1\ny = {{'{some}': 2}}")[some] == 2


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_no_id_of_the_knowledge_stands_in_the_code(file: Path, ids: set[str]) -> None:
    found = strings_in(file.read_text(encoding="utf-8"))
    assert {word: line for word, line in found.items() if word in ids} == {}
