"""The sixteen demonstration cases against what a good diagnostician concluded before the knowledge was fitted.

docs/cases/README.md says what the keys of their ``expect`` blocks mean; each file is a test of its own.
"""

import json
from functools import cache
from pathlib import Path

import jsonschema
import pytest

from leakdx.cli import main
from leakdx.training.body import Truck, read_truck
from tests import shipped

DOCS = Path(__file__).parent.parent / "docs"
EACH_CASE = [pytest.param(file, id=file.stem) for file in shipped.FILES]


@cache
def truck(file: Path) -> Truck:
    return read_truck(file, shipped.knowledge())


@pytest.mark.parametrize("file", EACH_CASE)
def test_it_comes_to_what_is_expected(file: Path) -> None:
    assert truck(file).expectation is not None
    assert not truck(file).failures, "\n".join(map(str, truck(file).failures))


@pytest.mark.parametrize("file", EACH_CASE)
def test_nothing_forbidden_outright_is_recommended(file: Path) -> None:
    answers = truck(file).diagnosis.answers
    outright = {one.action for one in answers.forbidden if one.scope == "not at all"}
    path = answers.repairs[0].actions if answers.repairs else ()
    assert not outright & set(path)


def test_what_is_ruled_out_is_not_named_as_left_undone() -> None:
    file = Path(__file__).parent / "cases" / "968-foam-at-a-right-level.yaml"
    diagnosis = truck(file).diagnosis
    (ruled_out,) = [c for c in diagnosis.answers.excluded if diagnosis.answers.causes[1].id == c]
    assert diagnosis.answers.causes[1].leaking > 0.05
    assert all(ruled_out not in path.leaves for path in diagnosis.answers.repairs)


@pytest.mark.parametrize("file", EACH_CASE)
def test_printed_json_keeps_to_its_schema(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    schema = json.loads((DOCS / "schema" / "diagnosis.schema.json").read_text(encoding="utf-8"))
    assert main(["diagnose", str(file), "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(schema).validate(printed)
    assert printed["case"] == truck(file).case.id


def test_there_are_enough_cases_and_the_readme_lists_every_one() -> None:
    readme = (DOCS / "cases" / "README.md").read_text(encoding="utf-8")
    assert len(shipped.FILES) >= 12
    for file in shipped.FILES:
        assert f"{truck(file).case.id} [" in readme
        assert f"({file.name})" in readme


@pytest.mark.parametrize("file", EACH_CASE)
def test_every_case_is_marked_as_invented(file: Path) -> None:
    assert file.read_text(encoding="utf-8").startswith("# Invented for the demo")
