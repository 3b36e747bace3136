"""The shop's settings: what this shop charges and pays, laid over a shop of the knowledge.

They stand in one file that people edit, ``settings.yaml`` in the configuration folder. What they do not say is
taken from the knowledge; the knowledge that is decided by is the one with the settings laid over it, and has a
hash of its own, so that a diagnosis names exactly what it came from.
"""

import hashlib
import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Annotated, Any, Literal, cast

import msgspec
from msgspec import Meta, Struct, structs

from leakdx.clean import clean_line
from leakdx.errors import SettingsError, StorageError, UsageError
from leakdx.folders import config_folder
from leakdx.knowledge.convert import FAULTY, Converter
from leakdx.knowledge.entry import Chance
from leakdx.knowledge.faults import Code, Fault, Spot, in_order, suggest
from leakdx.knowledge.model import Knowledge, Shop
from leakdx.knowledge.reader import Fields, Items, Scalar, Tree, read_nodes
from leakdx.marks import Text
from leakdx.store.files import USUAL, write_new

FILE = "settings.yaml"
MOST_BYTES = 1 << 16
LONGEST_WORD = 40
"""Characters of a currency or another short text."""
_WITH_COMMA = re.compile(r"[+-]?\d*,\d+")
_TEMPLATE = Path(__file__).with_name("settings.template.yaml")

NumberStyle = Literal["point", "comma"]
"""1,500.5 or 1.500,5."""
Money = Annotated[float, Meta(ge=0, le=1e7)]
Minutes = Annotated[float, Meta(ge=0, le=1e5)]


class Settings(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What may be written; None and {}: as the shop of the knowledge has it. Fields of ``Shop`` mean the same here."""

    based_on: Text | None = None
    """The shop of the knowledge that these are laid over; its first one where nothing is written."""
    currency: Text | None = None
    labour_rate: Money | None = None
    downtime_rate: Money | None = None
    comeback_cost: Money | None = None
    stop_and_ask_price: Money | None = None
    second_visit_minutes: Minutes | None = None
    floor_minutes: Minutes | None = None
    quiet_starts: Chance | None = None
    new_leak: Mapping[Literal["gasket", "sealant"], Chance] = {}
    recheck_days: Annotated[int, Meta(ge=0, le=3650)] | None = None
    parts: Mapping[str, Money] = {}
    """Repair -> price of its parts."""


class Ways(Struct, frozen=True, kw_only=True):
    """How this shop asks and writes; no decision follows it."""

    units: Literal["inch", "metric"] | None = None
    """What readings are asked in; None: each in the unit of its limit."""
    numbers: NumberStyle = "point"
    bays: tuple[Text, ...] = ()

    def bay(self, typed: str) -> str:
        """The bay that is meant, as the settings write it; anything where they name none. Raises UsageError."""
        name = clean_line(typed)
        named = {bay.casefold(): bay for bay in self.bays}
        if not name or not named:
            return name
        if name.casefold() not in named:
            raise UsageError(f"there is no bay '{name[:LONGEST_WORD]}' in the settings; {suggest(name, self.bays)}")
        return named[name.casefold()]

    def typed_number(self, text: str) -> str:
        """A number as it was typed, with a point where this shop writes a comma."""
        return text.replace(",", ".") if self.numbers == "comma" and _WITH_COMMA.fullmatch(text) else text


class _Written(Settings, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """All that the file may hold: what decides, and the ways."""

    units: Literal["inch", "metric"] | None = None
    numbers: NumberStyle = "point"
    bays: tuple[Text, ...] = ()


class OwnSettings(Struct, frozen=True):
    """Settings and ways as read, and the place of each value: "labour_rate" or "parts.ID" -> where it stands."""

    settings: Settings = Settings()
    spots: Mapping[str, Spot] = {}
    ways: Ways = Ways()


class Effective(Struct, frozen=True):
    """One value that is decided by. ``source``: file and line, or the shop or repair of the knowledge and its mark."""

    name: str
    value: str | float | int
    unit: str
    source: str


def settings_path() -> Path | None:
    """The file; None where LEAKDX_CONFIG is empty."""
    folder = config_folder()
    return None if folder is None else folder / FILE


def read_settings(path: Path | None) -> OwnSettings:
    """The settings of a file; those of no file, or of one in which all is commented out, say nothing.

    Raises SettingsError with one line for each fault.
    """
    if path is None or not _is_there(path):
        return OwnSettings()
    tree = read_nodes(path, max_bytes=MOST_BYTES)
    if [fault.code for fault in tree.faults] == [Code.EMPTY]:
        return OwnSettings()
    return _settings(tree, str(path))


def laid_over(knowledge: Knowledge, own: OwnSettings) -> Knowledge:
    """The knowledge as this shop decides by it, its shop the first; the very same where nothing is set.

    Raises SettingsError where a shop or a repair is named that the knowledge does not have.
    """
    settings = own.settings
    if settings == Settings():
        return knowledge
    _refuse(knowledge, own)
    base = _base(knowledge, settings)
    shop = structs.replace(knowledge.shops[base], **_of_shop(settings, knowledge.shops[base]))
    repairs = {id: structs.replace(knowledge.repairs[id], parts=price) for id, price in settings.parts.items()}
    return structs.replace(
        knowledge,
        hash=hash_over(knowledge.hash, settings),
        shops={base: shop, **{id: other for id, other in knowledge.shops.items() if id != base}},
        repairs={**knowledge.repairs, **repairs},
    )


def hash_over(hash: str, settings: Settings) -> str:
    """The hash of a knowledge of this hash with settings laid over; the very same where nothing is set."""
    if not hash or settings == Settings():
        return hash
    said = msgspec.json.encode((hash, settings), order="deterministic")
    return hashlib.sha256(said).hexdigest()


def effective(knowledge: Knowledge, own: OwnSettings) -> Iterator[Effective]:
    """Every value that decisions follow, in the order of the file; ``knowledge`` without the settings."""
    over, base = laid_over(knowledge, own), _base(knowledge, own.settings)
    plain, shop = knowledge.shops[base], over.shops[base]

    def row(name: str, value: Any, unit: str, otherwise: str) -> Effective:
        spot = own.spots.get(name)
        return Effective(name, value, unit, f"{spot.file}:{spot.line}" if spot else otherwise)

    given = f"shop {base} ({plain.mark})"
    yield row("based_on", base, "", "the first shop of the knowledge")
    units = _units(shop.currency)
    for name in _shop_fields():
        value = getattr(shop, name)
        if isinstance(value, Mapping):
            for key, one in value.items():
                yield row(f"{name}.{key}", one, units[name], given)
        else:
            yield row(name, value, units[name], given)
    ways, usual = own.ways, "leakdx, where nothing is set"
    yield row("units", ways.units or "each its own", "", usual)
    yield row("numbers", ways.numbers, "", usual)
    yield row("bays", ", ".join(ways.bays) or "any", "", usual)
    for id, repair in knowledge.repairs.items():
        price = own.settings.parts.get(id, repair.parts)
        if price or id in own.settings.parts:
            yield row(f"parts.{id}", price, shop.currency, f"repair {id} ({repair.mark})")


def write_template(path: Path, knowledge: Knowledge) -> bool:
    """Write the commented file where there is none, whole or not at all; whether it was. Never raises.

    What the knowledge says stands in it as comments, so that it changes nothing until someone edits it.
    """
    if _is_there(path):
        return False
    with suppress(OSError, StorageError):
        path.parent.mkdir(parents=True, exist_ok=True)
        write_new(path, template(knowledge).encode(), mode=USUAL)
        return True
    return False


def template(knowledge: Knowledge) -> str:
    """The commented file, with the values of the knowledge's first shop and its repairs."""
    base, shop = next(iter(knowledge.shops.items()))
    values = {name: _written(getattr(shop, name)) for name in _shop_fields()}
    priced = [(id, repair) for id, repair in knowledge.repairs.items() if repair.parts]
    parts = "\n".join(f"#  {id}: {repair.parts:g}  # {clean_line(repair.name)}" for id, repair in priced)
    return _TEMPLATE.read_text("utf-8").format(based_on=base, parts=parts, **values)


# -- reading ---------------------------------------------------------------------------------------------


def _is_there(path: Path) -> bool:
    """Whether something stands there; what cannot be looked at does, and reading it says why it cannot be."""
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    except (OSError, ValueError):
        return True
    return True


def _settings(tree: Tree, file: str) -> OwnSettings:
    faults = list(tree.faults)
    made: object = FAULTY
    if isinstance(tree.root, Fields):
        converter = Converter(printable=True)
        made = converter.struct(tree.root, _Written, tree.root.spot, "the settings")
        faults += converter.faults
        faults += _too_long(tree.root)
    elif tree.root is not None:
        wrong = "does not hold settings"
        faults.append(Fault(tree.root.spot, Code.WRONG_SHAPE, wrong, "write lines such as 'labour_rate: 140'"))
    if faults or made is FAULTY:
        raise SettingsError("\n".join(f"{fault.spot}: {fault.sentence}" for fault in in_order(faults)))
    settings, ways = (_part(made, kind) for kind in (Settings, Ways))
    return OwnSettings(cast(Settings, settings), dict(_spots(cast(Fields, tree.root))), cast(Ways, ways))


def _part(made: object, kind: type[Struct]) -> Struct:
    return kind(**{name: getattr(made, name) for name in kind.__struct_fields__})


def _too_long(root: Fields) -> Iterator[Fault]:
    bays = root.get("bays")
    items = bays.items if isinstance(bays, Items) else ()
    for name, node in (("currency", root.get("currency")), *(("bays", item) for item in items)):
        if isinstance(node, Scalar) and (len(node.text) > LONGEST_WORD or "\n" in node.text):
            wrong = f"'{name}' is longer than {LONGEST_WORD} characters or one line"
            yield Fault(node.spot, Code.OUT_OF_RANGE, wrong, "write a short word")


def _spots(root: Fields) -> Iterator[tuple[str, Spot]]:
    for key, value in root.pairs:
        yield key.text, key.spot
        if isinstance(value, Fields):
            yield from ((f"{key.text}.{inner.text}", inner.spot) for inner, _ in value.pairs)


def _refuse(knowledge: Knowledge, own: OwnSettings) -> None:
    """SettingsError for each name that the knowledge does not have, and where time would cost nothing."""
    faults = []
    base = own.settings.based_on
    if base is not None and base not in knowledge.shops:
        wrong = f"there is no shop '{base}' in the knowledge"
        faults.append(Fault(own.spots["based_on"], Code.UNKNOWN_ID, wrong, suggest(base, knowledge.shops)))
    for id in own.settings.parts:
        if id not in knowledge.repairs:
            wrong = f"there is no repair '{id}' in the knowledge"
            faults.append(Fault(own.spots[f"parts.{id}"], Code.UNKNOWN_ID, wrong, suggest(id, knowledge.repairs)))
    rates = [name for name in ("labour_rate", "downtime_rate") if name in own.spots]
    if rates and not faults and not _hour(knowledge, own.settings):
        wrong = "an hour of work and an hour of the truck standing both cost nothing"
        right = "write what one of them costs, so that looking can be weighed against repairing"
        faults.append(Fault(own.spots[rates[0]], Code.OUT_OF_RANGE, wrong, right))
    if faults:
        raise SettingsError("\n".join(f"{fault.spot}: {fault.sentence}" for fault in in_order(faults)))


def _hour(knowledge: Knowledge, settings: Settings) -> float:
    """What an hour of work with the truck standing costs, settings laid over."""
    shop = knowledge.shops[_base(knowledge, settings)]
    over = structs.replace(shop, **_of_shop(settings, shop))
    return over.labour_rate + over.downtime_rate


# -- laying over -----------------------------------------------------------------------------------------


def _base(knowledge: Knowledge, settings: Settings) -> str:
    return settings.based_on or next(iter(knowledge.shops))


def _shop_fields() -> tuple[str, ...]:
    """The settings that are fields of a shop, in their order."""
    return tuple(name for name in Settings.__struct_fields__ if name in Shop.__struct_fields__)


def _of_shop(settings: Settings, base: Shop) -> dict[str, Any]:
    """The fields of the shop that are set; of a mapping those keys that are not stay."""
    said: dict[str, Any] = {}
    for name in _shop_fields():
        value, was = getattr(settings, name), getattr(base, name)
        if isinstance(value, Mapping):
            said[name] = {**was, **value}
        elif value is not None:
            said[name] = value
    return said


def _units(currency: str) -> Mapping[str, str]:
    hour = f"{currency} an hour"
    return {
        "currency": "", "labour_rate": hour, "downtime_rate": hour, "comeback_cost": currency,
        "stop_and_ask_price": currency, "second_visit_minutes": "min", "floor_minutes": "min",
        "quiet_starts": "of 1", "new_leak": "of 1", "recheck_days": "days",
    }  # fmt: skip


def _written(value: object) -> str:
    """A value as it is typed in the file."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {one:g}" for key, one in value.items()) + "}"
    return f"{value:g}" if isinstance(value, float) else str(value)
