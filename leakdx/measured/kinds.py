"""The measurements that a case can hold, by the name of the calculation that works each out."""

from typing import Literal, get_args

Calculation = Literal["flatness", "fasteners", "leak", "weld", "place"]
CALCULATIONS: tuple[Calculation, ...] = get_args(Calculation)

RESULTS: dict[Calculation, tuple[str, ...]] = {
    "flatness": (),
    "fasteners": ("even", "one", "scattered", "neighbours", "all"),
    "leak": ("dry", "damp", "hangs", "falls", "runs"),
    "weld": ("bears", "harmed"),
    "place": ("apart", "together"),
}
"""What each can come to; none for a value that is held against a limit."""

SPEAKS_OF: dict[Calculation, tuple[str, ...]] = {"place": ("weak", "weld")}
"""Fields of which one says what a result is of, where a calculation speaks of several things."""
