"""Whether anything on the screen may move by itself."""

import os

OVER_SSH = ("SSH_CONNECTION", "SSH_TTY")
"""Set by ssh where the screen is drawn on another machine: every picture of a movement goes over the line."""


def is_far() -> bool:
    """Whether the terminal is at the other end of ssh."""
    return any(os.environ.get(name) for name in OVER_SSH)
