"""The shipped cases against what a good diagnostician concluded before the knowledge was fitted.

Each case under docs/cases/ carries an ``expect`` block; docs/cases/README.md says what its keys mean.
Every claim of every case is a test of its own, so that a failure names the truck and the claim.
"""

import json
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from leakdx.cli import main
from leakdx.knowledge.files import shipped_folder
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import Answers
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.casefile import read_case

DOCS = Path(__file__).parent.parent / "docs"
FILES = sorted((DOCS / "cases").glob("*.yaml"))


@cache
def knowledge() -> Knowledge:
    return load_knowledge([shipped_folder()])


@cache
def answers_to(file: Path) -> Answers:
    return diagnose(knowledge(), read_case(file, knowledge())).answers


@cache
def document(file: Path) -> Any:
    return yaml.safe_load(file.read_text(encoding="utf-8"))


def one_or_more(expected: Any) -> list[str]:
    """An expectation is one acceptable answer or a list of them."""
    return list(expected) if isinstance(expected, list) else [expected]


def recommended(answers: Answers) -> tuple[str, ...]:
    """The actions of the cheapest path."""
    return answers.repairs[0].actions if answers.repairs else ()


def top(answers: Answers, kind: str) -> str:
    """The zone, family or cause that is likeliest when brought in; ``kind`` is the field of the answers."""
    ranked = sorted(getattr(answers, kind), key=lambda one: -one.leaking_first)
    return str(ranked[0].id)


def ranking(answers: Answers) -> str:
    """The five likeliest causes, for the message of a failed claim."""
    return ", ".join(f"{c.id} {c.leaking_first:.2f} (present {c.present:.2f})" for c in answers.causes[:5])


def fit_to_drive(answers: Answers, expected: Any) -> None:
    fit = answers.fit_to_drive
    assert fit.answer in one_or_more(expected), f"by {fit.by}: {fit.reason}"


def where(answers: Answers, expected: Any) -> None:
    seen = {zone.id: round(zone.leaking_first, 3) for zone in answers.zones}
    assert top(answers, "zones") in one_or_more(expected), seen


def leader(answers: Answers, expected: Any) -> None:
    assert top(answers, "causes") in one_or_more(expected), ranking(answers)
    assert answers.causes[0].id == top(answers, "causes"), "causes are not in order of leaking_first"


def family(answers: Answers, expected: Any) -> None:
    assert top(answers, "families") in one_or_more(expected), ranking(answers)


def pair(answers: Answers, expected: Any) -> None:
    belief = {cause.id: cause for cause in answers.causes}
    for cause in expected:
        assert max(belief[cause].leaking_first, belief[cause].present) > 0.5, f"{cause}: {ranking(answers)}"


def clear_at(answers: Answers, expected: Any) -> None:
    assert answers.clear_at.level in one_or_more(expected), f"{answers.clear_at}; {ranking(answers)}"


def required(answers: Answers, expected: Any) -> None:
    path = recommended(answers)
    for action in expected:
        assert set(one_or_more(action)) & set(path), f"{action} is not in the recommended path {path}"


def at_most_extra(answers: Answers, expected: int, needed: Sequence[Any]) -> None:
    path = recommended(answers)
    wanted = {action for entry in needed for action in one_or_more(entry)}
    extra = [action for action in path if action not in wanted]
    assert len(extra) <= expected, f"beyond what is required: {extra}"


def none(answers: Answers, expected: bool) -> None:
    assert (recommended(answers) == ()) is expected, f"the recommended path is {recommended(answers)}"


def forbidden(answers: Answers, expected: Any) -> None:
    path = set(recommended(answers))
    for action in expected:
        bans = [one for one in answers.forbidden if one.action == action]
        assert bans, f"no rule forbids {action}, only {sorted({one.action for one in answers.forbidden})}"
        for ban in bans:
            lifted = ban.scope in ("not before", "unless together with") and bool(path & set(ban.other))
            assert action not in path or lifted, f"{action} is forbidden by {ban.rule} and yet recommended"


def permitted(answers: Answers, expected: Any) -> None:
    outright = {one.action: one.rule for one in answers.forbidden if one.scope == "not at all"}
    for action in expected:
        assert action not in outright, f"{action} is forbidden by {outright.get(action)}"


def holds_before(answers: Answers, expected: Any) -> None:
    held = {action for hold in answers.holds for action in hold.before}
    for action in expected:
        assert action in held, f"no hold stands before {action}, only before {sorted(held)}"


def decision(answers: Answers, expected: Any) -> None:
    check = answers.next_check.id if answers.next_check else "no check"
    assert answers.decision.do in one_or_more(expected), f"{answers.decision.reason} ({check}; {ranking(answers)})"


def next_check(answers: Answers, expected: Any) -> None:
    assert answers.next_check is not None, "no check is offered"
    others = ", ".join(check.id for check in answers.other_checks)
    assert answers.next_check.id in one_or_more(expected), f"{answers.next_check.id} is offered, then {others}"


CLAIMS: dict[str, Callable[[Answers, Any], None]] = {
    claim.__name__: claim
    for claim in (fit_to_drive, where, leader, family, pair, clear_at, required, none, forbidden, permitted,
                  holds_before, decision, next_check)
}  # fmt: skip
"""``at_most_extra`` is the one claim that needs another one beside it."""

EACH_CLAIM = [
    pytest.param(file, claim, id=f"{file.stem}-{claim}")
    for file in FILES
    for claim, expected in document(file)["expect"].items()
    if expected != []
]
EACH_CASE = [pytest.param(file, id=file.stem) for file in FILES]


@pytest.mark.parametrize(("file", "claim"), EACH_CLAIM)
def test_claim(file: Path, claim: str) -> None:
    expect = document(file)["expect"]
    if claim == "at_most_extra":
        at_most_extra(answers_to(file), expect[claim], expect["required"])
    else:
        CLAIMS[claim](answers_to(file), expect[claim])


@pytest.mark.parametrize("file", EACH_CASE)
def test_nothing_forbidden_outright_is_recommended(file: Path) -> None:
    answers = answers_to(file)
    outright = {one.action for one in answers.forbidden if one.scope == "not at all"}
    assert not outright & set(recommended(answers))


@pytest.mark.parametrize("file", EACH_CASE)
def test_expectations_name_what_the_knowledge_knows(file: Path) -> None:
    expect = document(file)["expect"]
    known = knowledge()
    kinds: dict[str, set[str]] = {
        "where": set(known.zones),
        "leader": set(known.causes),
        "pair": set(known.causes),
        "family": set(known.families),
        "next_check": set(known.checks),
        "forbidden": set(known.repairs) | set(known.acts) | set(known.openings),
        "permitted": set(known.repairs) | set(known.acts) | set(known.openings),
        "holds_before": set(known.repairs) | set(known.acts) | set(known.openings),
    }
    for claim, ids in kinds.items():
        assert set(one_or_more(expect.get(claim, []))) <= ids, claim
    wanted = {action for entry in expect["required"] for action in one_or_more(entry)}
    assert wanted <= set(known.repairs), "required"


@pytest.mark.parametrize("file", EACH_CASE)
def test_printed_json_keeps_to_its_schema(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    schema = json.loads((DOCS / "schema" / "diagnosis.schema.json").read_text(encoding="utf-8"))
    assert main(["diagnose", str(file), "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(schema).validate(printed)
    assert printed["case"] == document(file)["case"]


def test_there_are_enough_cases_and_the_readme_lists_every_one() -> None:
    readme = (DOCS / "cases" / "README.md").read_text(encoding="utf-8")
    assert len(FILES) >= 12
    for file in FILES:
        assert f"{document(file)['case']} [" in readme
        assert f"({file.name})" in readme


@pytest.mark.parametrize("file", EACH_CASE)
def test_every_case_is_marked_as_invented(file: Path) -> None:
    assert file.read_text(encoding="utf-8").startswith("# Invented for the demo")
