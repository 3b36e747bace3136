"""Knowledge as numbers."""

import numpy as np
import pytest

from leakdx.reasoning.compiled import with_none


def test_what_is_left_for_none_is_never_below_nought() -> None:
    """These chances come to a hair more than one, as they are added; a negative chance would spoil every sum."""
    assert with_none(np.array([0.33, 0.56, 0.11]))[0] >= 0


def test_what_is_left_for_none() -> None:
    assert with_none(np.array([0.25, 0.5])).tolist() == pytest.approx([0.25, 0.25, 0.5])
