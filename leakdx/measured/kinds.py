"""The measurements that a case can hold, by the name of the calculation that works each out."""

from typing import Literal, get_args

Calculation = Literal["flatness", "fasteners", "leak", "weld"]
CALCULATIONS: tuple[Calculation, ...] = get_args(Calculation)

RESULTS: dict[Calculation, tuple[str, ...]] = {
    "flatness": (),
    "fasteners": ("even", "one", "scattered", "neighbours", "all"),
    "leak": ("dry", "damp", "hangs", "falls", "runs"),
    "weld": ("bears", "harmed"),
}
"""What each can come to; none for a value that is held against a limit."""
