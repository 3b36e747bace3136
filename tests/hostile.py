"""What nobody should be able to do by typing it into a case."""

from msgspec.structs import replace

from leakdx.case import Case, Note, Observation, Record

MARKUP = "<script>alert(1)</script>"
STEERS = "\x1b[2J\x9b31m\x07\x00\u202e"
BREAKS_OUT = '"]; n1 -> n2 [label="x'
ENTITY = "&lt;b&gt; &amp; \\N \\G \\n <b>bold</b> ]]> {{ 7*7 }} %s"
ALL = f"{MARKUP}{STEERS}{BREAKS_OUT}{ENTITY}"


def hostile(case: Case) -> Case:
    """The case with such text wherever a person may type."""
    log = tuple(
        replace(entry, note=ALL, who=f"<i>{STEERS}AB") if isinstance(entry, Observation) else entry
        for entry in case.log
    )
    note = Note(number=len(log) + 1, who=ALL, note=ALL)
    photo = Record(number=len(log) + 2, who=ALL, kind="photo", text="0" * 64, note=ALL)
    return replace(case, id=f"KD{ALL}", unit=ALL, story=ALL, truck={"work": ALL}, log=(*log, note, photo))
