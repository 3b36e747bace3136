"""The shop's settings: written once as comments, read with every fault named, laid over the knowledge."""

import json
import os
import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from leakdx.case import Case
from leakdx.cli import main
from leakdx.errors import ExitCode, SettingsError
from leakdx.interview.question import Question
from leakdx.interview.session import Interview
from leakdx.interview.understand import understand
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.quantities import in_system
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.casefile import CaseFile
from leakdx.store.settings import (
    FILE,
    OwnSettings,
    Ways,
    effective,
    laid_over,
    read_settings,
    template,
    write_template,
)

SHIPPED = load_knowledge([shipped_folder()])
BASE, OTHER = list(SHIPPED.shops)[:2]
REPAIR = next(id for id, repair in SHIPPED.repairs.items() if repair.parts)
CASE = str(shipped_folder().parent / "docs" / "cases" / "01-pinion-seal.yaml")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A configuration folder of one's own, in which nothing is yet."""
    monkeypatch.setenv("LEAKDX_CONFIG", str(tmp_path / "config"))
    return tmp_path / "config"


def written(folder: Path, text: str | bytes) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / FILE).write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder / FILE


def own(folder: Path, text: str) -> OwnSettings:
    return read_settings(written(folder, text))


# -- the commented file -----------------------------------------------------------------------------------


def test_the_commented_file_says_nothing_until_it_is_edited(folder: Path) -> None:
    assert own(folder, template(SHIPPED)) == OwnSettings()
    assert laid_over(SHIPPED, own(folder, template(SHIPPED))) is SHIPPED


def test_every_line_of_the_commented_file_can_be_used_as_it_stands(folder: Path) -> None:
    """Taking one # away in front of each value gives what the knowledge says already."""
    lines = [line[1:] if line.startswith("#") and line[1:2] != " " else line for line in template(SHIPPED).splitlines()]
    lines = [line[1:] if line.startswith("#  ") else line for line in lines]
    over = laid_over(SHIPPED, own(folder, "\n".join(lines)))
    assert over.hash != SHIPPED.hash
    assert (over.shops, over.repairs) == (SHIPPED.shops, SHIPPED.repairs)
    assert {row.source.rsplit(":", 1)[0] for row in effective(SHIPPED, read_settings(folder / FILE))} == {
        str(folder / FILE)
    }


def test_it_is_written_on_first_use_and_never_again(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["diagnose", CASE]) == 0
    assert capsys.readouterr().err == ""
    assert (folder / FILE).read_text("utf-8") == template(SHIPPED)
    assert [path.name for path in folder.iterdir()] == [FILE]
    written(folder, "labour_rate: 99\n")
    assert main(["diagnose", CASE]) == 0
    assert main(["settings"]) == 0
    assert (folder / FILE).read_text("utf-8") == "labour_rate: 99\n"


def test_a_folder_that_cannot_be_made_is_no_reason_to_stop(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("LEAKDX_CONFIG", str(tmp_path / "file" / "config"))
    assert main(["diagnose", CASE]) == 0
    assert capsys.readouterr().err == ""
    assert not write_template(tmp_path / "file" / "config" / FILE, SHIPPED)


def test_of_two_that_start_at_once_one_writes_the_file_and_both_go_on(tmp_path: Path) -> None:
    environment = {**os.environ, "LEAKDX_CONFIG": str(tmp_path / "config")}
    call = [sys.executable, "-m", "leakdx", "settings", "--json"]
    both = [subprocess.Popen(call, env=environment, stdout=subprocess.PIPE) for _ in range(2)]
    answers = [json.loads(one.communicate(timeout=60)[0]) for one in both]
    assert answers[0] == answers[1]
    assert [path.name for path in (tmp_path / "config").iterdir()] == [FILE]


# -- laying over ------------------------------------------------------------------------------------------


def test_what_is_set_counts_and_the_rest_stays(folder: Path) -> None:
    settings = own(folder, f"labour_rate: 99.5\nnew_leak: {{sealant: 0.2}}\nparts:\n  {REPAIR}: 0\n")
    over = laid_over(SHIPPED, settings)
    shop, before = over.shops[BASE], SHIPPED.shops[BASE]
    assert (shop.labour_rate, shop.downtime_rate) == (99.5, before.downtime_rate)
    assert shop.new_leak == {**before.new_leak, "sealant": 0.2}
    assert over.repairs[REPAIR].parts == 0
    assert over.shops[OTHER] == SHIPPED.shops[OTHER]
    assert diagnose(over, Case(id="KD-1", complaint=over.complaint)).shop == shop
    assert over.hash not in ("", SHIPPED.hash)
    assert over.hash == laid_over(SHIPPED, settings).hash


def test_the_shop_that_they_are_laid_over_is_the_one_that_decides(folder: Path) -> None:
    over = laid_over(SHIPPED, own(folder, f"based_on: {OTHER}\nrecheck_days: 3\n"))
    assert next(iter(over.shops)) == OTHER
    assert diagnose(over, Case(id="KD-1", complaint=over.complaint)).shop.recheck_days == 3
    named = diagnose(over, Case(id="KD-1", complaint=over.complaint, shop=BASE))
    assert named.shop == SHIPPED.shops[BASE]


def test_commands_decide_by_them(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def cost() -> float:
        assert main(["diagnose", CASE, "--json"]) == 0
        return float(json.loads(capsys.readouterr().out)["repairs"][0]["expected_cost"])

    before = cost()
    written(folder, "labour_rate: 1000\ncurrency: EUR\n")
    assert cost() > 2 * before
    assert main(["diagnose", CASE, "--for", "customer"]) == 0
    assert " EUR" in capsys.readouterr().out


def test_settings_say_where_each_value_comes_from(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = written(folder, "# ours\nlabour_rate: 99\n")
    assert main(["settings", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    rows = {row["name"]: row for row in said["settings"]}
    assert said["file"] == str(path)
    assert rows["labour_rate"] == {"name": "labour_rate", "value": 99, "unit": "USD an hour", "source": f"{path}:2"}
    assert rows["downtime_rate"]["source"] == f"shop {BASE} ({SHIPPED.shops[BASE].mark})"
    assert main(["settings"]) == 0
    shown = capsys.readouterr().out
    assert len(shown.splitlines()) == len(rows) + 1
    assert any(
        line.split() == ["labour_rate", "99", *["USD", "an", "hour"], f"{path}:2"] for line in shown.splitlines()
    )
    assert main(["settings", "--path"]) == 0
    assert capsys.readouterr().out == f"{path}\n"
    assert main(["paths"]) == 0
    assert f"settings: {path}\n" in capsys.readouterr().out


def test_with_an_empty_variable_none_are_read(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["settings"]) == 0
    assert capsys.readouterr().out.startswith("file: none is read\n")
    assert main(["settings", "--path"]) == ExitCode.USAGE
    assert "LEAKDX_CONFIG" in capsys.readouterr().err


# -- faults -----------------------------------------------------------------------------------------------

FAULTS = (
    ("labor_rate: 99", ":1:1: 'the settings' has no field 'labor_rate'; did you mean 'labour_rate'?"),
    ("# x\nlabour_rate: 99 USD", ":2:14: 'labour_rate' is '99 USD', not a number; write the number alone"),
    ("labour_rate: 99,5", ":1:14: 'labour_rate' is '99,5', not a number; write 99.5, with a point"),
    ("labour_rate: -1", ":1:14: 'labour_rate' is -1, out of range; it must be at least 0"),
    ("labour_rate: 0\ndowntime_rate: 0", ":1:1: an hour of work and an hour of the truck standing both cost nothing"),
    ("labour_rate: 1e300", "out of range; it must be at least 0 and at most 1e+07"),
    ("labour_rate: .inf", "'labour_rate' is '.inf', not a number"),
    ("labour_rate:", "'labour_rate' has no value; write one or leave it out"),
    ("labour_rate: 1\nlabour_rate: 2", ":2:1: 'labour_rate' is written twice, first in line 1 column 1; keep one"),
    ("labour_rate: [1]", "'labour_rate' is a list; write one number"),
    ("quiet_starts: 15", "out of range; a share of 1 is wanted, did you mean 0.15?"),
    ("recheck_days: 1.5", "'recheck_days' is '1.5', not a number; write a whole number"),
    ("new_leak: {glue: 0.1}", "'new_leak' cannot be 'glue'; write one of: gasket, sealant"),
    ("parts: 12", "'parts' is not a mapping"),
    (f"parts:\n  {REPAIR}x: 12", f":2:3: there is no repair '{REPAIR}x' in the knowledge; did you mean '{REPAIR}'?"),
    (f"based_on: {BASE}x", f":1:1: there is no shop '{BASE}x' in the knowledge; did you mean '{BASE}'?"),
    (f"currency: {'x' * 41}", "'currency' is longer than 40 characters or one line; write a short word"),
    ('currency: "U\\e[2JD"', "'currency' holds control characters; write plain text"),
    ('currency: "\\u202EDSU"', "'currency' holds control characters; write plain text"),
    (f"bays: [{'x' * 41}]", "'bays' is longer than 40 characters or one line; write a short word"),
    ("bays: Wash", "'bays' is not a list; write [Wash]"),
    ("units: imperial", "'units' cannot be 'imperial'; write one of: inch, metric"),
    ("numbers: komma", ":1:10: 'numbers' cannot be 'komma'; did you mean 'comma'?"),
    ("- labour_rate", ":1:1: does not hold settings; write lines such as 'labour_rate: 140'"),
    ("labour_rate: &a 1", "uses the anchor &a"),
    ("labour_rate: !!python/object/apply:os.system [x]", "uses the tag"),
    (" labour_rate: 1\ncurrency: USD", ":2:1: is not YAML"),
    (b"labour_rate: \xff", ":1:14: is not UTF-8 text; save it as UTF-8"),
    (b"labour_rate: 1\x00", "holds the control character"),
    ("[" * 3000, "is nested deeper than"),
    ("# x\n" * 20000, "is larger than 64 KiB"),
)


@pytest.mark.parametrize(("text", "sentence"), FAULTS, ids=[str(number) for number in range(len(FAULTS))])
def test_a_fault_is_one_sentence_with_its_place(
    text: str | bytes, sentence: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = written(folder, text)
    for call in (["diagnose", CASE], ["settings"]):
        assert main(call) == ExitCode.SETTINGS
        printed = capsys.readouterr()
        assert printed.out == ""
        assert len(printed.err.splitlines()) == 1
        assert printed.err.startswith(f"{path}:")
        assert sentence in printed.err
    assert main(["settings", "--path"]) == 0


def test_all_faults_are_named_at_once(folder: Path) -> None:
    path = written(folder, "labour_rate: dear\ncurrency: []\nrecheck_days: soon\n")
    with pytest.raises(SettingsError) as caught:
        read_settings(path)
    assert [line.split(": ")[0] for line in str(caught.value).splitlines()] == [
        f"{path}:{n}:{c}" for n, c in ((1, 14), (2, 11), (3, 15))
    ]


def test_what_is_no_file_is_said_so(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / FILE).mkdir(parents=True)
    assert main(["diagnose", CASE]) == ExitCode.SETTINGS
    assert "this is a folder; name a YAML file" in capsys.readouterr().err
    (folder / FILE).rmdir()
    os.mkfifo(folder / FILE)
    assert main(["diagnose", CASE]) == ExitCode.SETTINGS
    assert "this is a pipe or a device" in capsys.readouterr().err
    (folder / FILE).unlink()
    (folder / FILE).symlink_to(folder / "nowhere")
    assert main(["diagnose", CASE]) == ExitCode.SETTINGS
    assert "cannot be read: no such file" in capsys.readouterr().err
    assert stat.S_ISLNK((folder / FILE).lstat().st_mode)


# -- ways -------------------------------------------------------------------------------------------------


def test_ways_decide_nothing(folder: Path) -> None:
    settings = own(folder, "units: metric\nnumbers: comma\nbays: [Bay 1, Wash]\n")
    assert settings.ways == Ways(units="metric", numbers="comma", bays=("Bay 1", "Wash"))
    assert laid_over(SHIPPED, settings) is SHIPPED


def test_readings_are_asked_in_the_units_of_the_shop_and_typed_with_its_comma(folder: Path, tmp_path: Path) -> None:
    reading = next(id for id, sign in SHIPPED.signs.items() if sign.measure and sign.measure.unit == "in")
    ways = own(folder, "units: metric\nnumbers: comma\n").ways
    file = CaseFile.create(tmp_path / "case.yaml", SHIPPED, Case(id="KD-1", complaint=SHIPPED.complaint))
    interview = Interview(SHIPPED, file, "AB", ways=ways)
    question = interview._in_units(Question(kind="reading", id=reading, text="?", unit="in"))
    assert question.unit == "mm"
    reply = interview._as_written(understand(question, "0,13 with feeler 2"))
    assert (reply.value, reply.unit, reply.tool) == ("0.13", "mm", "feeler 2")
    assert interview._as_written(understand(question, "0.006 in")).unit == "in"
    assert Ways().typed_number("0,13") == "0,13"
    assert ways.typed_number("1,200,3") == "1,200,3"


@pytest.mark.parametrize(
    ("unit", "inch", "metric"),
    [("in", "in", "mm"), ("lbf*ft", "lbf*ft", "N*m"), ("degC", "degF", "degC"), ("", "", ""), ("rpm", "rpm", "rpm")],
)
def test_a_unit_in_either_system(unit: str, inch: str, metric: str) -> None:
    assert (in_system(unit, "inch"), in_system(unit, "metric")) == (inch, metric)


def test_money_and_hours_are_written_as_the_shop_writes_them(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    written(folder, "numbers: comma\nlabour_rate: 4000\n")
    assert main(["diagnose", CASE]) == 0
    with_comma = capsys.readouterr().out
    written(folder, "labour_rate: 4000\n")
    assert main(["diagnose", CASE]) == 0
    with_point = capsys.readouterr().out
    assert re.search(r"\d\.\d{3} USD", with_comma)
    assert re.search(r"\d,\d{3} USD", with_point)
    assert not re.search(r"\d,\d{3} USD", with_comma)


def test_a_bay_is_one_of_the_shop(folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    written(folder, "bays: [Bay 1, Wash]\n")
    path = tmp_path / "case.yaml"
    assert main(["ask", str(path), "--who", "AB", "--bay", "bay 2"]) == ExitCode.USAGE
    assert capsys.readouterr().err == "leakdx: there is no bay 'bay 2' in the settings; did you mean 'Bay 1'?\n"
    assert not path.exists()
    assert (Ways(bays=("Bay 1",)).bay(" bay  1 "), Ways(bays=("Bay 1",)).bay(""), Ways().bay("x")) == ("Bay 1", "", "x")
