"""Matrices as small as these are multiplied on one thread: more would wait for one another longer than they work.

The library that multiplies decides by size alone, and would start threads for the largest of them.
"""

from contextlib import AbstractContextManager
from functools import cache
from typing import Any


@cache
def _libraries() -> Any:
    # Few cases are wide enough to need it, and it takes a while to import.
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()


def one_thread() -> AbstractContextManager[Any]:
    """While it lasts, matrices are multiplied on one thread; afterwards as before."""
    limit: AbstractContextManager[Any] = _libraries().limit(limits=1, user_api="blas")
    return limit
