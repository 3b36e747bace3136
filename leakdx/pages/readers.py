"""Whom a page is for, and what makes it."""

from collections.abc import Callable, Mapping, Sequence

from leakdx.pages.customer import customer_page
from leakdx.pages.document import Document, Photo
from leakdx.pages.job import job_page
from leakdx.pages.record import record_page
from leakdx.pages.tag import tag_page
from leakdx.pages.trainer import trainer_page
from leakdx.reasoning.diagnosis import Diagnosis

PAGES: Mapping[str, Callable[[Diagnosis], Document]] = {
    "customer": customer_page,
    "record": record_page,
    "job": job_page,
    "trainer": trainer_page,
    "tag": tag_page,
}
WITH_PHOTOS: Mapping[str, Callable[[Diagnosis, Sequence[Photo]], Document]] = {"record": record_page}
"""Those that show the photos of the case."""


def page_of(reader: str, diagnosis: Diagnosis, photos: Sequence[Photo] = ()) -> Document:
    """The page for one of PAGES."""
    return WITH_PHOTOS[reader](diagnosis, photos) if reader in WITH_PHOTOS else PAGES[reader](diagnosis)
