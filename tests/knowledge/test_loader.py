"""Folders in, typed knowledge out: what is written, what is made from it, and what a local folder changes."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.errors import ExitCode, KnowledgeError
from leakdx.knowledge.lint import lint
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from tests.knowledge.places import ROOT, SIX, THIRTY, changed, faults, written


def test_the_six_causes_load_with_what_was_written() -> None:
    known = load_knowledge([SIX])
    assert list(known.causes) == [
        "old_residue", "uneven_torque", "housing_face_out_of_flat", "pinion_seal_worn", "breather_blocked", "old_spill",
    ]  # fmt: skip
    assert known.complaint == "carrier_joint"
    assert known.link(known.causes["old_residue"].leaks) == 0.6
    assert known.causes["old_spill"].leaks == "always"
    assert known.decibans("clearly less") == -6
    assert known.signs["torque_pattern"].outcomes == ("even", "one_low", "neighbours_low")
    assert known.repairs["reseal_with_sealant"].minutes == (120.0, 240.0)
    assert known.causes["old_residue"].at == "six/belief.yaml:66:3"
    assert known.rules["drops_fall"].then[0].fit == "recheck"


def test_place_signs_are_made_from_zones_places_and_paths() -> None:
    known = load_knowledge([SIX])
    made = {id: sign for id, sign in known.signs.items() if sign.place}
    assert set(made) == {
        "wet.carrier_joint", "wet.pinion_seal", "wet.under_axle", "origin.carrier_joint", "origin.pinion_seal",
        "trail.carrier_joint.under_axle", "trail.pinion_seal.carrier_joint", "trail.pinion_seal.under_axle",
        "trail.no_active_leak.carrier_joint", "trail.no_active_leak.under_axle",
    }  # fmt: skip
    wet = made["wet.pinion_seal"]
    assert (wet.name, wet.hangs_on, wet.place) == ("wet at the pinion seal", "leaking", ("wet", "pinion_seal"))
    assert (wet.mark, wet.reason) == (known.zones["pinion_seal"].mark, known.zones["pinion_seal"].reason)
    assert known.stray(wet.stray) == 0.001
    trail = made["trail.pinion_seal.carrier_joint"]
    assert trail.name == "oil blows back from the pinion seal to the carrier-to-housing joint"
    assert trail.outcomes == ("no", "yes")


def test_the_shipped_knowledge_is_sound() -> None:
    known = load_knowledge([shipped_folder()])
    assert known.causes
    assert all(cause.at.startswith("knowledge/") for cause in known.causes.values())


def test_a_local_entry_with_some_fields_changes_those(tmp_path: Path) -> None:
    known = changed(tmp_path, "causes:\n  old_residue:\n    share: 20\nwords:\n  links: {often: 0.55}\n")
    before = load_knowledge([SIX])
    assert known.causes["old_residue"].share == 20
    assert known.causes["old_residue"].shows == before.causes["old_residue"].shows
    assert known.causes["old_residue"].at == "local/change.yaml:2:3"
    assert known.words.links == {**before.words.links, "often": 0.55}
    assert list(known.causes) == list(before.causes)
    assert known.hash != before.hash


def test_a_local_entry_with_every_needed_field_replaces_the_whole_entry(tmp_path: Path) -> None:
    known = changed(
        tmp_path,
        "zones:\n  pinion_seal: {name: input seal, mark: from memory, reason: Ours., is_place: true}\n"
        "checks: {origin_after_wash: {reveals: [origin.pinion_seal]}}\n",
    )
    assert known.zones["pinion_seal"].paths == {}
    assert "trail.pinion_seal.carrier_joint" not in known.signs


def test_new_local_ids_come_last(tmp_path: Path) -> None:
    known = changed(tmp_path, "findings:\n  all_dry: {name: all dry, mark: from memory, reason: Ours.}\n")
    assert list(known.findings)[-1] == "all_dry"


def test_two_local_folders_lie_over_each_other(tmp_path: Path) -> None:
    first = written(tmp_path / "first", {"a.yaml": "shops: {home_shop: {labour_rate: 100, recheck_days: 7}}\n"})
    second = written(tmp_path / "second", {"a.yaml": "shops: {home_shop: {labour_rate: 110}}\n"})
    shop = load_knowledge([SIX, first, second]).shops["home_shop"]
    assert (shop.labour_rate, shop.recheck_days, shop.downtime_rate) == (110, 7, 60)


def test_not_listed_may_be_left_out(tmp_path: Path) -> None:
    assert not changed(tmp_path, "has_not_listed: false\n").has_not_listed


def test_hidden_files_and_other_suffixes_are_passed_over(tmp_path: Path) -> None:
    written(
        tmp_path,
        {"a.yaml": (SIX / "belief.yaml").read_text("utf-8"), "sub/b.yml": (SIX / "action.yaml").read_text("utf-8")},
    )
    written(tmp_path, {".hidden.yaml": "{", ".git/x.yaml": "{", "notes.txt": "{", "schema/x.json": "{"})
    assert len(load_knowledge([tmp_path]).causes) == 6


def test_the_hash_is_of_names_and_contents(tmp_path: Path) -> None:
    texts = {path.name: path.read_text("utf-8") for path in sorted(SIX.iterdir())}
    here, there = written(tmp_path / "x" / "six", texts), written(tmp_path / "y" / "six", texts)
    known = load_knowledge([here])
    assert known == load_knowledge([there])
    assert known.hash == load_knowledge([SIX]).hash
    written(there, {"belief.yaml": texts["belief.yaml"] + "\n"})
    assert load_knowledge([there]).hash != known.hash


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("zones: {}\n", "the knowledge has no 'words'; write 'words:' in one of its files"),
        ("zones: {}\n", "the knowledge has no 'complaint'; write 'complaint:' in one of its files"),
        ("- a\n- b\n", "the file is not a mapping of kinds; begin with a kind such as 'causes:'"),
        (
            "causes: [a]\n",
            "'causes' is not a mapping of entries; write entries below it, each as 'id:' with its fields",
        ),
        ("causes: {a: b}\n", "'a' is not a mapping; write its fields below it, as 'field: value'"),
        ("complaint: [a]\n", "'complaint' is a list; write one text"),
        ("complaint: nowhere\n", "there is no place 'nowhere'; none is known yet"),
        (
            "words: {place_signs: {wet: {link: often, stray: never}}}\n",
            "'words' lacks the field 'links'; write it",
        ),
        ("causes: {not_listed: {}}\n", "'not_listed' is kept for the program; give it another id"),
    ],
)
def test_what_a_folder_lacks_or_holds_in_the_wrong_shape(text: str, says: str, tmp_path: Path) -> None:
    said = faults(written(tmp_path, {"only.yaml": text}))
    assert [line for line in said if line.endswith(says)]


def test_an_error_carries_every_line_and_the_exit_code(tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError) as caught:
        load_knowledge([tmp_path / "nothing"])
    assert caught.value.exit_code is ExitCode.KNOWLEDGE
    assert str(caught.value).splitlines() == list(caught.value.faults)
    assert f"{tmp_path}/nothing:1:1: K101 does not exist; name a folder with knowledge in it" in caught.value.faults


def test_the_same_faults_under_any_hash_seed() -> None:
    code = (
        "import sys; from pathlib import Path; from tests.knowledge.places import faults;"
        "print('\\n'.join(faults(Path(sys.argv[1]), Path(sys.argv[2]))))"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", code, str(SIX), str(THIRTY)],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert len(said) == 1


LINES = (SIX / "belief.yaml").read_text("utf-8").splitlines()
PIECES = st.sampled_from(
    ["", "- x", ": ", "[", "{", "}", "]", "'", '"', "  a: b", "? x", "no", "1:30", "&a", "*a", "\x00", "\t", "%"]
)


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_a_mutated_file_never_gives_more_than_faults(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    lines = list(LINES)
    for _ in range(data.draw(st.integers(1, 4))):
        number = data.draw(st.integers(0, len(lines) - 1))
        column = data.draw(st.integers(0, len(lines[number])))
        piece = data.draw(PIECES)
        kind = data.draw(st.sampled_from(["insert", "cut", "drop", "double", "swap"]))
        if kind == "insert":
            lines[number] = lines[number][:column] + piece + lines[number][column:]
        elif kind == "cut":
            lines[number] = lines[number][:column]
        elif kind == "drop":
            lines[number] = piece
        elif kind == "double":
            lines.insert(number, lines[number])
        else:
            other = data.draw(st.integers(0, len(lines) - 1))
            lines[number], lines[other] = lines[other], lines[number]
    folder = tmp_path_factory.mktemp("mutated")
    written(folder, {"belief.yaml": "\n".join(lines), "action.yaml": (SIX / "action.yaml").read_text("utf-8")})
    for line in faults(folder):
        assert line.startswith(str(folder))
        assert "; " in line


TEXT = {path.name: path.read_text("utf-8") for path in sorted(SIX.iterdir())}
TOKENS = {name: list(re.finditer(r"[A-Za-z_0-9.]+", text)) for name, text in TEXT.items()}


@settings(max_examples=100, deadline=None)
@given(data=st.data())
def test_a_word_in_the_place_of_another_never_gives_more_than_faults(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    texts = dict(TEXT)
    name = data.draw(st.sampled_from(sorted(TOKENS)))
    old = data.draw(st.sampled_from(TOKENS[name]))
    new = data.draw(st.sampled_from(TOKENS[data.draw(st.sampled_from(sorted(TOKENS)))])).group()
    texts[name] = texts[name][: old.start()] + new + texts[name][old.end() :]
    folder = written(tmp_path_factory.mktemp("swapped"), texts)
    said = faults(folder)
    assert all("; " in line for line in said)
    if not said:
        assert lint(load_knowledge([folder]))


def test_texts_hold_no_control_characters_and_sentences_none_either(tmp_path: Path) -> None:
    text = 'findings:\n  dry: {name: "dry\\e[2J", mark: from memory, reason: Ours.}\n  wet: {"x\\e[2J": 1}\n'
    said = faults(SIX, written(tmp_path / "local", {"a.yaml": text}))
    assert [line for line in said if line.endswith("K103 'name' holds control characters; write plain text")]
    assert all(line.isprintable() for line in said)


def test_a_sentence_is_never_endless_and_never_slow(tmp_path: Path) -> None:
    word, blank = "x" * 200_000, " " * 400_000
    text = f'causes: {{old_residue: {{share: "1{blank}1", {word[:1000]}: 1, family: {word}}}}}\n'
    said = faults(SIX, written(tmp_path / "local", {"a.yaml": text}))
    assert len(said) == 3
    assert all(len(line) < 900 for line in said)


def test_every_place_sign_needs_its_strength(tmp_path: Path) -> None:
    kept = [line for line in TEXT["belief.yaml"].splitlines() if not line.startswith(("    origin: {", "    trail: {"))]
    said = faults(written(tmp_path / "six", {**TEXT, "belief.yaml": "\n".join(kept)}))
    assert [line.split(": ", 1)[1] for line in said] == [
        "K413 'place_signs' lacks 'origin'; write 'origin: {link: word, stray: word}' there",
        "K413 'place_signs' lacks 'trail'; write 'trail: {link: word, stray: word}' there",
    ]


def test_an_installed_package_finds_its_own_knowledge(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "leakdx", tmp_path / "leakdx", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(SIX, tmp_path / "leakdx" / "_knowledge")
    code = (
        "from leakdx.knowledge.loader import load_knowledge, shipped_folder as shipped;"
        "print(shipped().name, load_knowledge([shipped()]).causes['old_residue'].at)"
    )
    env = {**os.environ, "PYTHONPATH": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, env=env, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["_knowledge", "knowledge/belief.yaml:66:3"]
