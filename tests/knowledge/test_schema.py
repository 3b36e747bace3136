"""The shipped schemas are those of the types, and the shipped files satisfy them."""

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from leakdx.knowledge.draft import TABLES, kinds
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.schema import FILE, LOCAL, schema_texts, schemas, write_schemas
from tests.knowledge.places import SIX

WORDS = load_knowledge([SIX]).words


class NewerYaml(yaml.SafeLoader):
    """Reads plain words as an editor does: only true, false and numbers are not text."""


NewerYaml.yaml_implicit_resolvers = {}

for tag, pattern, first in (
    ("bool", "(true|false)$", "tf"),
    ("int", "[-+]?[0-9]+$", "-+0123456789"),
    ("float", r"[-+]?[0-9]*\.[0-9]+$", "-+.0123456789"),
):
    NewerYaml.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), list(first))


def files(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.yaml"))


def read(path: Path) -> Any:
    return yaml.load(path.read_text(encoding="utf-8"), Loader=NewerYaml)


def problems(document: Any, schema: dict[str, Any]) -> list[str]:
    validator = jsonschema.Draft202012Validator(schema)
    return [
        f"{'/'.join(map(str, error.absolute_path))}: {error.message[:200]}" for error in validator.iter_errors(document)
    ]


def test_shipped_schemas_are_the_generated_ones() -> None:
    shipped = shipped_folder() / "schema"
    generated = schema_texts(load_knowledge([shipped_folder()]).words)
    assert {path.stem for path in shipped.iterdir()} == set(generated)
    for name, text in generated.items():
        assert (shipped / f"{name}.json").read_text(encoding="utf-8") == text, "run: leakdx knowledge schema"


@pytest.mark.parametrize("path", [*files(SIX), *files(shipped_folder())], ids=lambda path: path.stem)
def test_every_file_satisfies_the_schema(path: Path) -> None:
    words = WORDS if path.parent == SIX else load_knowledge([shipped_folder()]).words
    made = schemas(words)
    document = read(path)
    assert problems(document, made[FILE]) == []
    for kind, entries in document.items():
        if kind in made:
            assert problems(entries, made[kind]) == []


def test_every_schema_is_a_schema_and_stands_alone(tmp_path: Path) -> None:
    for path in write_schemas(tmp_path / "new", WORDS):
        schema = json.loads(path.read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        assert "x-" not in path.read_text(encoding="utf-8")
        assert schema["title"]
    assert {path.stem for path in (tmp_path / "new").iterdir()} == {*kinds(), *TABLES, FILE, LOCAL}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("causes: {old_residue: {leaks: oftn}}", "oftn"),
        ("causes: {old_residue: {shre: 3}}", "shre"),
        ("causes: {old_residue: {share: 300}}", "300"),
        ("causes: {old_residue: {at: here}}", "at"),
        ("causes: {Old-Residue: {share: 3}}", "Old-Residue"),
        ("checks: {listen: {reveals: []}}", "[]"),
        ("zones: {carrier_joint: {active: maybe}}", "maybe"),
        ("rules: {drops_fall: {stratum: settel}}", "settel"),
        ("findings: {dry: {mark: hear say}}", "hear say"),
        ("cause: {}", "cause"),
    ],
)
def test_a_slip_in_a_local_file_is_seen(change: str, said: str) -> None:
    document = yaml.load(change, Loader=NewerYaml)
    assert any(said in problem for problem in problems(document, schemas(WORDS)[LOCAL]))


def test_a_local_file_may_give_some_fields_only() -> None:
    document = yaml.load("causes: {old_residue: {share: 3}}\nwords: {links: {often: 0.5}}", Loader=NewerYaml)
    assert problems(document, schemas(WORDS)[LOCAL]) == []
    assert problems(document, schemas(WORDS)[FILE]) != []
