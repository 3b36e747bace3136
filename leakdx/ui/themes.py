"""Two looks: a dark one for the bay, and one of high contrast for bright light."""

from textual.theme import Theme

DARK = Theme(
    name="bay",
    primary="#6fb7ff",
    secondary="#9fd3a6",
    accent="#ffd166",
    warning="#ffd166",
    error="#ff8a80",
    success="#9fd3a6",
    foreground="#f2f2f2",
    background="#101418",
    surface="#182028",
    panel="#243040",
    dark=True,
)
SUNLIGHT = Theme(
    name="sunlight",
    primary="#003a80",
    secondary="#005a1e",
    accent="#7a3b00",
    warning="#7a3b00",
    error="#9b0000",
    success="#005a1e",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#dfe6ee",
    dark=False,
)
