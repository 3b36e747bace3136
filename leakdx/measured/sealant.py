"""What a sealant's label says and the air it cures in, as they are typed: "open 10 min, load 24 h, air 50 degF"."""

from collections.abc import Mapping
from dataclasses import dataclass

from leakdx.measured.fields import FieldError, from_texts, typed_as
from leakdx.measured.typed import number_in, plain
from leakdx.mechanics.given import between

EXAMPLE = "open 10 min, fill 2 h, load 24 h, air 50 degF, humidity 40"
_COLDEST, _WARMEST = -20.0, 60.0
_LONGEST = 30 * 86_400.0


def _time(text: str) -> float:
    return between("the time in s", number_in("s", "10 min")(text), 1, _LONGEST, "give a time such as 10 min or 24 h")


def _air(text: str) -> float:
    celsius = number_in("degC", "50 degF", signed=True)(text)
    return between("the temperature of the shop in degC", celsius, _COLDEST, _WARMEST, "give it such as 50 degF")


def _humidity(text: str) -> float:
    percent = plain("40")(text.strip().removesuffix("%").rstrip())
    return between("the humidity in per cent", percent, 1, 100, "give per cent, such as 40")


@dataclass(frozen=True, kw_only=True)
class SealantLabel:
    """Times in s, ``air`` in degC, ``humidity`` in per cent; None where it was not typed."""

    open: float | None = typed_as(_time)
    fill: float | None = typed_as(_time)
    load: float | None = typed_as(_time)
    air: float | None = typed_as(_air)
    humidity: float | None = typed_as(_humidity)


def read_label(text: str) -> SealantLabel:
    """Read it; the order is free, and what is not known is left out. FieldError: a part that cannot be."""
    return from_texts(SealantLabel, _parts(text))


def _parts(text: str) -> Mapping[str, str]:
    parts: dict[str, str] = {}
    for part in filter(None, (part.strip() for part in text.split(","))):
        name, _, said = part.partition(" ")
        if name in parts:
            raise FieldError(name, f"'{name[:40]}' is said twice; say it once")
        if not said.strip():
            raise FieldError(name, f"'{part[:40]}' says nothing; write it as {EXAMPLE}")
        parts[name] = said.strip()
    if not parts:
        raise FieldError("", f"nothing is said; write it as {EXAMPLE}")
    return parts
