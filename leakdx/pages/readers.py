"""Whom a page is for, and what makes it."""

from collections.abc import Callable, Mapping

from leakdx.pages.customer import customer_page
from leakdx.pages.document import Document
from leakdx.pages.job import job_page
from leakdx.reasoning.diagnosis import Diagnosis

PAGES: Mapping[str, Callable[[Diagnosis], Document]] = {
    "customer": customer_page,
    "job": job_page,
}
