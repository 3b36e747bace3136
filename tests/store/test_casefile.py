"""Case files: what is written is read again exactly, and every fault is named with its place."""

import os
import stat
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from threading import Barrier, BrokenBarrierError
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from leakdx.case import (
    NO_INFORMATION,
    OUTCOMES,
    RECHECKED,
    RECORD_KINDS,
    Case,
    Comeback,
    Done,
    Doubt,
    LogEntry,
    Note,
    Observation,
    PlacesSeen,
    Reading,
    Record,
    Sureness,
    Told,
    Withdrawal,
)
from leakdx.clean import clean
from leakdx.errors import CaseError, StorageError
from leakdx.knowledge.loader import load_knowledge
from leakdx.store import casefile, lock
from leakdx.store.casefile import CaseFile, parse_case, read_case, write_case
from leakdx.store.caseyaml import case_text
from leakdx.store.files import read_bytes

NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
SIX = load_knowledge([Path(__file__).parent.parent / "data" / "six"])
PLACES = ("carrier_joint", "pinion_seal", "under_axle")

SMALL = """\
# kept
case: KD-1  # its id
log:
  - {who: AB, wet: [carrier_joint]}
  # a remark
  - {who: AB, told: sealing_material, is: sealant}
expect: {leader: old_residue}
"""


def parse(text: str | bytes) -> Case:
    return parse_case(text if isinstance(text, bytes) else text.encode(), "c.yaml", SIX, NOW)


def faults(text: str | bytes) -> list[str]:
    with pytest.raises(CaseError) as caught:
        parse(text)
    return str(caught.value).splitlines()


def is_case_or_sentences(data: bytes) -> bool:
    """Whether the bytes are a case, or are refused with a place on every line."""
    try:
        parse(data)
    except CaseError as error:
        return all(line.startswith("c.yaml:") for line in str(error).splitlines())
    return True


def with_entry(entry: str) -> str:
    return f"case: KD-1\nlog:\n  - {{who: AB, note: first}}\n  - {{who: AB, {entry}}}\n"


def test_blanks_of_no_width_are_dropped() -> None:
    assert parse('case: KD-1\nstory: "it\u200b drips\u2060"\n').story == "it drips"


# -- reading ----------------------------------------------------------------------------------------------


def test_every_kind_of_entry_is_read() -> None:
    case = parse("""\
case: KD-0412
unit: "Tractor 17"
truck: {odometer: "412 000 km"}
axle: onyx_single
shop: home_shop
story: it drips
log:
  - {at: "2026-03-02T08:10", who: AB, wet: [carrier_joint, pinion_seal], dry: [under_axle], arc: [5, 7.5], sure: fairly}
  - {who: AB, saw: breather_wont_blow, is: no, note: "hose on"}
  - {who: AB, told: sealing_material, is: unsure}
  - {who: AB, did: washed}
  - {who: CD, withdraw: 3, note: "misread"}
  - {who: CD, note: "parts on order"}
  - {who: CD, doubt: torque_wrench, chance: 0.3, tool: wrench 4}
  - {who: AB, saw: torque_pattern, is: even, tool: wrench 5}
  - {who: AB, did: reseal_with_gasket}
  - {who: AB, comeback: carrier_joint}
  - {who: AB, read: housing_face_flatness, value: "0.006", unit: in, tool: feeler 12, calibrated: 2026-01-12}
  - {who: AB, bay: 3, signed: faces clean}
  - {who: CD, closed: not known, note: sold}
expect: {anything: [at, all]}
""")
    assert case == Case(
        id="KD-0412",
        unit="Tractor 17",
        truck={"odometer": "412 000 km"},
        axle="onyx_single",
        shop="home_shop",
        complaint="carrier_joint",
        story="it drips",
        log=(
            PlacesSeen(
                number=1,
                who="AB",
                at=datetime(2026, 3, 2, 8, 10),
                wet=("carrier_joint", "pinion_seal"),
                dry=("under_axle",),
                sure="fairly",
                arc=(5.0, 7.5),
            ),
            Observation(number=2, who="AB", sign="breather_wont_blow", answer="no", note="hose on"),
            Told(number=3, who="AB", group="sealing_material", answer="unsure"),
            Done(number=4, who="AB", act="washed"),
            Withdrawal(number=5, who="CD", entry=3, note="misread"),
            Note(number=6, who="CD", note="parts on order"),
            Doubt(number=7, who="CD", doubt="torque_wrench", chance=0.3, tool="wrench 4"),
            Observation(number=8, who="AB", sign="torque_pattern", answer="even", tool="wrench 5"),
            Done(number=9, who="AB", act="reseal_with_gasket"),
            Comeback(number=10, who="AB", place="carrier_joint"),
            Reading(
                number=11,
                who="AB",
                sign="housing_face_flatness",
                value="0.006",
                unit="in",
                tool="feeler 12",
                calibrated="2026-01-12",
            ),
            Record(number=12, who="AB", bay="3", kind="signed", text="faces clean"),
            Record(number=13, who="CD", kind="closed", text="not known", note="sold"),
        ),
    )


@pytest.mark.parametrize(
    ("entry", "place", "says"),
    [
        ("saw: torque_patern, is: even", "4:20", "did you mean 'torque_pattern'?"),
        ("saw: torque_pattern, is: evn", "4:40", "did you mean 'even'?"),
        ("saw: torque_pattern, is: [even, one_low]", "4:40", "exclude each other"),
        ("comeback: carrier_joint", "4:25", "no repair that closes the joint stands before it"),
        ("comeback: carier_joint", "4:25", "did you mean 'carrier_joint'?"),
        ("closed: hold", "4:23", "did you mean 'held'?"),
        ("recheck: perhaps", "4:24", "write one of: dry, damp, wet"),
        ("photo: wet.jpg", "4:22", "write its SHA-256"),
        ('signed: " "', "4:23", "say in a few words what"),
        ("signed: faces clean, tool: cloth", "4:36", "'tool' does not go with 'signed'"),
        ("read: housing_face_flatness, value: 0.006, unit: in, calibrated: soon", "4:80", "as 2026-01-12"),
        ("read: housing_face_flatness, value: 0.006, unit: in, calibrated: 2999-01-01", "4:80", "is no day until now"),
        ("doubt: torque_wrnch, chance: 0.3", "4:22", "did you mean 'torque_wrench'?"),
        ("doubt: torque_wrench, chance: 30", "4:45", "from 0 (good after all) to 1"),
        ("doubt: torque_wrench, chance: nan", "4:45", "'nan' is no chance"),
        ("doubt: torque_wrench", "4:5", "write 'chance' beside it"),
        ("saw: torque_pattern, is: even, chance: 0.3", "4:46", "'chance' does not go with 'saw'"),
        ("saw: torque_pattern", "4:5", "write 'is' beside it"),
        ("saw: torque_pattern, is: even, told: sealing_material", "4:46", "make it an entry of its own"),
        ("saw: sealing_material, is: sealant", "4:20", "write it under 'told'"),
        ("told: torque_pattern, is: even", "4:21", "write it under 'saw'"),
        ("told: sealing_material, is: sealant, sure: fairly", "4:52", "leave it out"),
        ("saw: torque_pattern, is: even, sure: very", "4:52", "'sure'"),
        ("saw: torque_pattern, is: even, colour: red", "4:46", "no field 'colour'"),
        ("saw: torque_pattern, is: even, is: one_low", "4:46", "written twice"),
        ("wet: [carrier_joint], dry: [carrier_joint]", "4:43", "both wet and dry"),
        ("wet: [carrier_joint, carrier_joint]", "4:36", "twice"),
        ("wet: [banjo joint]", "4:21", "did you mean 'carrier_joint'?"),
        ("wet: []", "4:20", "at least one place"),
        ("wet: carrier_joint", "4:20", "write [carrier_joint]"),
        ("wet: [carrier_joint], arc: [5, 13]", "4:42", "clock positions"),
        ("wet: [carrier_joint], arc: [5]", "4:42", "clock positions"),
        ('read: housing_face_flatness, value: "0.006", unit: psi', "4:51", "a length is wanted"),
        ('read: housing_face_flatness, value: "0.006", unit: inn', "4:51", "not a known unit"),
        ('read: housing_face_flatness, value: "9", unit: in', "4:51", "outside what can be read"),
        ('read: housing_face_flatness, value: "-0.006", unit: in', "4:51", "outside what can be read"),
        ('read: housing_face_flatness, value: "0,006", unit: in', "4:51", "write it with a point"),
        ('read: housing_face_flatness, value: "0.006"', "4:5", "write 'unit' beside it"),
        ('read: torque_pattern, value: "1", unit: in', "4:21", "is seen, not measured"),
        ("did: wash", "4:20", "did you mean 'washed'?"),
        ("withdraw: 2", "4:25", "does not stand before it"),
        ("withdraw: 0", "4:25", "does not stand before it"),
        ("withdraw: three", "4:25", "not a number"),
        ('note: "x", at: "2026-06-01T12:30"', "4:30", "in the future"),
        ('note: "x", at: "2031-01-01T00:00+02:00"', "4:30", "in the future"),
        ('note: "x", at: "yesterday"', "4:30", "is no date and time"),
    ],
)
def test_a_fault_names_its_place_and_what_would_be_right(entry: str, place: str, says: str) -> None:
    found = faults(with_entry(entry))
    assert len(found) == 1, found
    assert found[0].startswith(f"c.yaml:{place}: "), found[0]
    assert says in found[0]
    assert "; " in found[0]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"", "is empty"),
        (b"# only a comment\n", "is empty"),
        (b"\x00\x01\x02", "control character"),
        (b"\xff\xfe\x00c", "UTF-8"),
        (b"case: [1, 2\nlog: {", "is not YAML"),
        (b"- " * 3000, "nested deeper"),
        (b"[" * 3000, "nested deeper"),
        (b"a: &x [1]\nb: *x\n", "anchor"),
        (b"case: !!python/object/apply:os.system [ls]\n", "tag"),
        (b"case: KD-1\n---\ncase: KD-2\n", "second document"),
        (b"x" * (2 << 20), "larger than"),
        (b"just words", "is not a case"),
        (b"- a\n- b\n", "is not a case"),
        (b"case: KD-1\nlgo: []\n", "did you mean 'log'?"),
        (b"unit: x\n", "lacks the field 'case'"),
        (b'case: " "\n', "is blank"),
        (b"case: KD-1\nlog: washed\n", "'log' is not a list"),
        (b"case: KD-1\nlog: [washed]\n", "is not a mapping"),
        (b"case: KD-1\nlog: [{who: AB}]\n", "says nothing"),
        (b"case: KD-1\nlog: [{note: x}]\n", "lacks the field 'who'"),
        (b'case: KD-1\nlog: [{who: " ", note: x}]\n', "write initials, or unknown"),
        (b"case: KD-1\naxle: onyx_singel\n", "did you mean 'onyx_single'?"),
        (b"case: KD-1\nshop: home\n", "did you mean 'home_shop'?"),
        (b"case: KD-1\ncomplaint: pinion\n", "did you mean 'pinion_seal'?"),
        (b"case: KD-1\ncase: KD-2\n", "written twice"),
        (b"case: KD-1\ntruck: far\n", "is not a mapping"),
    ],
)
def test_a_file_that_is_no_case_is_refused_in_one_sentence(text: bytes, says: str) -> None:
    found = faults(text)
    assert len(found) == 1, found
    assert found[0].startswith("c.yaml:")
    assert says in found[0]


def test_all_faults_of_a_file_are_named_in_order() -> None:
    entries = "".join(f"  - {{who: AB, saw: nothing_{number}, is: x}}\n" for number in range(30))
    found = faults(f"case: KD-1\nlog:\n{entries}")
    assert [line.split(":")[1] for line in found] == [str(3 + number) for number in range(30)]


def test_the_list_of_faults_has_an_end() -> None:
    found = faults("case: KD-1\nlog:\n" + "  - {who: AB}\n" * 1000)
    assert found[-1] == "and 960 more"


def test_an_answer_that_could_not_have_been_seen_yet_is_a_fault() -> None:
    washed = "case: KD-1\nlog:\n  - {who: AB, did: washed}\n"
    seen = "  - {who: AB, saw: wet.carrier_joint, is: no}\n"
    (fault,) = faults(washed + seen)
    assert fault.startswith("c.yaml:4:5: entry 2: ")
    assert "driven" in fault
    assert len(parse(washed + "  - {who: AB, did: driven}\n" + seen).log) == 3


def test_a_withdrawn_entry_cannot_be_withdrawn_again() -> None:
    text = with_entry("withdraw: 1") + "  - {who: AB, withdraw: 1}\n"
    (fault,) = faults(text)
    assert "withdrawn already by entry 2" in fault


def test_what_a_withdrawn_withdrawal_took_back_stands_again_where_it_stood() -> None:
    withdraw = "  - {{who: AB, withdraw: {}}}\n".format
    text = with_entry("withdraw: 1") + withdraw(2)
    assert [entry.number for entry in parse(text).standing] == [1]
    assert parse(text + withdraw(1)).standing == ()
    (fault,) = faults(text + withdraw(2))
    assert "withdrawn already by entry 3" in fault


def test_a_folder_a_pipe_and_a_missing_file_are_refused_in_one_sentence(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path, tmp_path / "none.yaml", tmp_path / "pipe"):
        with pytest.raises(StorageError) as caught:
            read_case(path, SIX)
        assert str(path) in str(caught.value)
        assert len(str(caught.value).splitlines()) == 1


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace")))
def test_no_bytes_give_anything_but_a_case_or_sentences(data: bytes) -> None:
    assert is_case_or_sentences(data)


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_damaged_case_gives_a_case_or_sentences(data: st.DataObject) -> None:
    text = case_text(parse(SMALL))
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 8)))
    damaged = text[:start] + data.draw(st.text(max_size=6)) + text[end:]
    assert is_case_or_sentences(damaged.encode("utf-8", "replace"))


# -- round trip -------------------------------------------------------------------------------------------

words = st.text(max_size=40).map(clean)
some_words = words.filter(lambda text: bool(text.strip()))
zones: st.SearchStrategy[tzinfo] = st.builds(timezone, st.builds(timedelta, minutes=st.integers(-14 * 60, 14 * 60)))
times = st.none() | st.datetimes(
    max_value=datetime(2026, 5, 30),
    timezones=st.one_of(st.none(), zones),
)
sureness: st.SearchStrategy[Sureness] = st.sampled_from(["sure", "fairly"])
arcs = st.none() | st.tuples(st.floats(0, 12), st.floats(0, 12))
place_lists = st.lists(st.tuples(st.sampled_from(PLACES), st.booleans()), min_size=1, unique_by=lambda pair: pair[0])


@st.composite
def entries(draw: st.DrawFn, number: int, taken: set[int]) -> LogEntry:
    """One entry that no act makes impossible: only signs that are seen from outside."""
    base: Any = {"number": number, "who": draw(some_words), "at": draw(times), "note": draw(words)}
    base["bay"] = draw(words.map(str.strip))
    kind = draw(st.integers(0, 7))
    if kind == 0:
        seen = draw(place_lists)
        wet, dry = (tuple(place for place, is_wet in seen if is_wet is side) for side in (True, False))
        return PlacesSeen(**base, wet=wet, dry=dry, sure=draw(sureness), arc=draw(arcs))
    if kind == 1:
        sign = draw(st.sampled_from(["torque_pattern", "breather_wont_blow"]))
        answer = draw(st.sampled_from([*SIX.signs[sign].outcomes, *NO_INFORMATION]))
        return Observation(**base, sign=sign, answer=answer, sure=draw(sureness), tool=draw(words), arc=draw(arcs))
    if kind == 2:
        answer = draw(st.sampled_from([*SIX.history["sealing_material"].answers, *NO_INFORMATION]))
        return Told(**base, group="sealing_material", answer=answer)
    if kind == 3:
        return Done(**base, act=draw(st.sampled_from(["driven", "clear_breather"])))
    free = [earlier for earlier in range(1, number) if earlier not in taken]
    if kind == 4 and free:
        entry = draw(st.sampled_from(free))
        taken |= {entry, number}
        return Withdrawal(**base, entry=entry)
    if kind == 5:
        of = draw(st.sampled_from(["torque_wrench", "washed"]))
        return Doubt(**base, doubt=of, chance=draw(st.floats(0, 1)), tool=draw(words))
    if kind == 6:
        of_file = draw(st.sampled_from(RECORD_KINDS))
        texts = {
            "recheck": st.sampled_from(RECHECKED),
            "closed": st.sampled_from(OUTCOMES),
            "photo": st.just("a1" * 32),
            "sealant": st.sampled_from(
                ("open 10 min, fill 2 h", "open 10 min, fill 2 h, load 24 h, air 50 degF, humidity 40")
            ),
        }
        return Record(**base, kind=of_file, text=draw(texts.get(of_file, some_words.map(str.strip).filter(bool))))
    return Note(**base)


@st.composite
def cases(draw: st.DrawFn) -> Case:
    taken: set[int] = set()
    length = draw(st.integers(0, 6))
    return Case(
        id=draw(some_words),
        complaint=draw(st.sampled_from(PLACES)),
        axle=draw(st.none() | st.sampled_from(sorted(SIX.axles))),
        shop=draw(st.none() | st.sampled_from(sorted(SIX.shops))),
        unit=draw(words),
        story=draw(words),
        truck=draw(st.dictionaries(some_words, words, max_size=3)),
        log=tuple(draw(entries(number, taken)) for number in range(1, length + 1)),
    )


@settings(max_examples=200, deadline=None)
@given(cases())
def test_what_is_written_is_read_again_exactly(case: Case) -> None:
    text = case_text(case)
    assert parse(text) == case
    assert case_text(parse(text)) == text
    assert yaml.safe_load(text)["case"] == case.id


@settings(max_examples=100, deadline=None)
@given(case=cases(), many=st.integers(0, 6), layout=st.integers(0, 3))
def test_a_file_grows_to_any_later_case_and_keeps_its_comments(case: Case, many: int, layout: int) -> None:
    import tempfile

    begun = Case(id=case.id, complaint=case.complaint, log=case.log[:many])
    text = "# first comment\n" + case_text(begun)
    if layout == 1 and begun.log:
        text += "# last comment\nexpect: {leader: x}\n"
    elif layout == 2:
        text = text.rstrip("\n")
    elif layout == 3:
        text = text.replace("\n  - ", "\n- ")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "case.yaml"
        path.write_bytes(text.encode())
        file = CaseFile.open(path, SIX)
        file.save(case)
        grown = path.read_text(encoding="utf-8")
        assert read_case(path, SIX) == case
        assert grown.startswith("# first comment\n")
        assert layout != 1 or not begun.log or "expect: {leader: x}" in grown
        assert os.listdir(folder) == ["case.yaml"]


# -- writing ----------------------------------------------------------------------------------------------


def test_a_case_keeps_the_text_of_its_writer(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    path.write_text(SMALL, encoding="utf-8")
    file = CaseFile.open(path, SIX)
    case = file.case
    more = Done(number=3, who="CD", act="washed")
    file.save(Case(id=case.id, complaint=case.complaint, axle="onyx_single", log=(*case.log, more)))
    assert path.read_text(encoding="utf-8") == SMALL.replace("its id\n", "its id\naxle: onyx_single\n").replace(
        "expect", "  - {who: CD, did: washed}\nexpect"
    )


def test_a_layout_that_cannot_grow_is_written_anew_and_the_original_kept(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    text = "# mine\ncase: KD-1\nlog: [{who: AB, note: x}]\n"
    path.write_text(text, encoding="utf-8")
    file = CaseFile.open(path, SIX)
    for number in (2, 3):
        case = file.case
        file.save(Case(id="KD-1", complaint=case.complaint, log=(*case.log, Note(number=number, who="A", note="y"))))
    assert read_case(path, SIX) == file.case
    assert (tmp_path / "c.yaml.orig").read_text(encoding="utf-8") == text


def test_a_new_case_never_replaces_a_file_and_only_its_owner_reads_it(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    write_case(path, parse(SMALL))
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    before = path.read_bytes()
    with pytest.raises(StorageError, match="was not overwritten"):
        write_case(path, Case(id="other", complaint="carrier_joint"))
    assert path.read_bytes() == before
    assert os.listdir(tmp_path) == ["c.yaml"]


def test_a_file_changed_by_someone_else_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    write_case(path, parse(SMALL))
    first, second = CaseFile.open(path, SIX), CaseFile.open(path, SIX)
    case = first.case
    first.save(Case(id=case.id, complaint=case.complaint, log=(*case.log, Note(number=3, who="A", note="first"))))
    kept = path.read_bytes()
    with pytest.raises(StorageError, match="changed by someone else"):
        second.save(Case(id=case.id, complaint=case.complaint, log=(*case.log, Note(number=3, who="B", note="2nd"))))
    assert path.read_bytes() == kept


@pytest.mark.parametrize("mode", [0o644, 0o660, 0o600])
def test_a_file_that_stands_keeps_who_may_read_it(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "c.yaml"
    write_case(path, parse(SMALL))
    path.chmod(mode)
    file = CaseFile.open(path, SIX)
    file.save(structs.replace(file.case, unit="Tractor 17"))
    assert stat.S_IMODE(path.stat().st_mode) == mode


def noted(case: Case, words: str) -> Case:
    return structs.replace(case, log=(*case.log, Note(number=len(case.log) + 1, who="AB", note=words)))


@pytest.fixture(params=["folder", "network", "no fcntl"])
def kind_of_lock(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The lock of the folder, and the file that stands for it where a folder cannot be locked."""

    def refused(handle: int, how: int) -> None:
        raise OSError(9, "Bad file descriptor")

    if request.param == "network":
        monkeypatch.setattr("leakdx.store.lock.fcntl.flock", refused)
    elif request.param == "no fcntl":
        monkeypatch.setattr(lock, "fcntl", None)


@pytest.mark.usefixtures("kind_of_lock")
def test_two_who_save_at_the_same_moment_lose_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "c.yaml"
    write_case(path, parse(SMALL))
    met = Barrier(2)

    def slowly(path: Path) -> bytes:
        data = read_bytes(path)
        with suppress(BrokenBarrierError):
            met.wait(0.2)  # both have compared before either replaces, unless one is kept waiting
        return data

    files = [CaseFile.open(path, SIX) for _ in range(2)]
    monkeypatch.setattr(casefile, "read_bytes", slowly)

    def save(number: int) -> str | None:
        try:
            files[number].save(noted(files[number].case, f"mine {number}"))
        except StorageError:
            return None
        return f"mine {number}"

    with ThreadPoolExecutor(2) as pool:
        said = [words for words in pool.map(save, range(2)) if words]
    assert [entry.note for entry in read_case(path, SIX).log if isinstance(entry, Note)] == said
    assert len(said) == 1, "the other one is told"
    assert os.listdir(tmp_path) == ["c.yaml"]


@pytest.mark.usefixtures("kind_of_lock")
def test_who_is_kept_waiting_too_long_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "c.yaml"
    write_case(path, parse(SMALL))
    file = CaseFile.open(path, SIX)
    monkeypatch.setattr(lock, "LONGEST_WAIT", 0.05)
    with lock.locked(path), pytest.raises(StorageError, match="someone else is saving it"):
        file.save(noted(file.case, "mine"))
    file.save(noted(file.case, "mine"))


def test_a_broken_file_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "c.yaml"
    path.write_bytes(b"case: [broken")
    with pytest.raises(CaseError):
        CaseFile.open(path, SIX)
    assert path.read_bytes() == b"case: [broken"


def test_a_failure_while_writing_leaves_the_old_file_and_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "c.yaml"
    write_case(path, parse(SMALL))
    file = CaseFile.open(path, SIX)
    before = path.read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(StorageError, match="no space left on device"):
        file.save(Case(id="KD-2", complaint="carrier_joint", log=file.case.log))
    assert path.read_bytes() == before
    assert os.listdir(tmp_path) == ["c.yaml"]


def test_a_folder_that_cannot_be_written_is_said_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(StorageError, match="no such file or directory"):
        write_case(tmp_path / "none" / "c.yaml", parse(SMALL))


# -- cleaning ---------------------------------------------------------------------------------------------


def test_control_characters_and_overrides_do_not_come_in() -> None:
    case = parse('case: "K\\e[2JD"\nstory: "a\\u202Eb\\x9b31mc\\r\\nd\\u2028e"\nlog: []\n')
    assert case.id == "K[2JD"
    assert case.story == "ab31mc\nd\ne"


@given(st.text())
def test_clean_text_stays_as_it_is(text: str) -> None:
    once = clean(text)
    assert clean(once) == once
    assert "\x1b" not in once
    once.encode("utf-8")


# -- open and closed --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("entries", "outcome"),
    [
        (("note: x",), None),
        (("closed: held",), "held"),
        (("closed: held", "reopened: wet again in the photo"), None),
        (("closed: held", "reopened: by mistake", "closed: not held"), "not held"),
        (("did: reseal_with_gasket", "closed: held", "comeback: carrier_joint"), None),
        (("closed: held", "withdraw: 1"), None),
    ],
)
def test_a_case_is_closed_until_it_is_opened_again_or_comes_back(entries: tuple[str, ...], outcome: str | None) -> None:
    lines = "".join(f"  - {{who: AB, {entry}}}\n" for entry in entries)
    assert parse(f"case: KD-1\nlog:\n{lines}").closed == outcome
