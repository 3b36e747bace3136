"""Bundles for tests: a good one as its files, and zip files of whatever files."""

import hashlib
import io
import json
import zipfile
from collections.abc import Mapping
from functools import cache

from msgspec import Raw, structs

from leakdx.case import Case, Record
from leakdx.knowledge.files import gather
from leakdx.store.attachments import Attachment
from leakdx.store.bundle.form import History, ShownThen
from leakdx.store.bundle.writing import bundle_in
from leakdx.store.caseyaml import case_text, head_text
from leakdx.store.source import KnowledgeSource
from tests.store.database.stores import SIX_FOLDER, a_case
from tests.store.pictures import picture

SOURCE = KnowledgeSource(gather([SIX_FOLDER]))
PHOTO = Attachment("wet.jpg", "jpeg", picture())
PHOTO_NAME = f"photos/{PHOTO.sha256}.jpg"
KNOWLEDGE_NAME = f"knowledge/{SOURCE.hash}.json"


THEN = ShownThen(
    written="2026-03-02T08:10:00+00:00",
    entries=3,
    head=0,
    shop=None,
    version="0.0.1",
    knowledge=SOURCE.hash,
    answers=Raw(b'{"causes": [{"id": "pinion_seal"}], "zones": []}'),
)
"""A diagnosis that was shown of a case with three entries."""


def photographed(case: Case, photo: Attachment = PHOTO) -> Case:
    """The case with an entry that names the photo behind its log."""
    entry = Record(number=len(case.log) + 1, who="AB", kind="photo", text=photo.sha256, note=photo.name)
    return structs.replace(case, log=(*case.log, entry))


@cache
def good() -> Mapping[str, bytes]:
    """The files of a bundle with one case, its photo, and a diagnosis that was shown before it had a unit."""
    case = photographed(a_case("KD-9"))
    file = io.BytesIO()
    with bundle_in(file, SOURCE) as bundle:
        bundle.case(case_text(case), History(heads=(head_text(structs.replace(case, unit="")),), shown=(THEN,)))
        bundle.photo(PHOTO)
    with zipfile.ZipFile(file) as zip:
        return {name: zip.read(name) for name in zip.namelist()}


def several(name: str, count: int) -> bytes:
    """A bundle of so many cases whose ids begin so, each with a file and a shown diagnosis of its own."""
    made = io.BytesIO()
    with bundle_in(made, SOURCE) as bundle:
        for number in range(count):
            id = f"{name}-{number}"
            letter = Attachment("letter.txt", "text", id.encode())
            case = photographed(a_case(id), letter)
            bundle.case(case_text(case), History(heads=(head_text(case),), shown=(THEN,)))
            bundle.photo(letter)
    return made.getvalue()


def zipped(files: Mapping[str, bytes], *, hashed: bool = True) -> bytes:
    """A zip file of these files; ``hashed``: its manifest names them all with their hashes."""
    files = dict(files)
    if hashed and "bundle.json" in files:
        manifest = json.loads(files.pop("bundle.json"))
        manifest["files"] = {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}
        files["bundle.json"] = json.dumps(manifest).encode()
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as zip:
        for name, data in files.items():
            zip.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return made.getvalue()
