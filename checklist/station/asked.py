"""What is asked when an entry is made: what is needed, what matters now, and no more.

What was typed is kept by the row's name, such as `centre` or `on-air/window`, as it was typed;
rows that may be many hold a list. What nobody was asked for can be added later.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from checklist.station import givenas
from checklist.station.antennas import ByGain, Dish, RandomWire, SmallLoop, Yagi
from checklist.station.lineform import LineRefused, from_line, is_line, is_row, to_line
from checklist.station.lists import Many, NoneOr
from checklist.station.people import Place
from checklist.station.radio import Emission, FeedLine, Transmitter
from checklist.station.records import ByName, Entry, Key, Kinds, keys_of
from checklist.station.shapes import OneOf, Shape
from checklist.station.supply import Cord, Generator, Load

Typed = Mapping[str, str | list[str]]

_WORTH_ASKING: dict[type[Any], tuple[str, ...]] = {
    Place: ("within-reach",),
    Emission: ("power", "mode", "feed-line"),
    FeedLine: ("cable", "length", "load-swr"),
    ByGain: ("gain",),
    Dish: ("gain",),
    RandomWire: ("counterpoise",),
    Generator: ("running", "surge", "neutral"),
    Load: ("running", "starting", "generator"),
    Cord: ("gauge", "length"),
}
"""Optional keys without which little can be said of an entry; they may be left empty."""

_WHERE: dict[type[Any], tuple[tuple[str, str, str], ...]] = {
    Place: (("training", "environment", "controlled"),),
    Yagi: (("sector", "turns", "yes"),),
    ByGain: (("bearing", "like", "yagi"),),
    SmallLoop: (("bearing", "plane", "vertical"),),
    FeedLine: (("attenuation", "cable", ""),),
    Transmitter: (("nearest-body", "used", "portable"), ("nearest-body", "used", "mobile")),
}
"""Keys that are asked only where another one holds a word: (key, other key, its word)."""

_MUST = {"training"}
"""Of these, the ones that are needed once they are asked for."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing to type."""

    name: str
    label: str
    means: str
    shape: Shape
    is_optional: bool
    is_many: bool = False
    """Whether it is a list with one row for each."""

    columns: str = ""
    """The columns of a row, where it has several."""

    @property
    def example(self) -> str:
        """What may be typed, as an example."""
        if isinstance(self.shape, ByName):
            return f"name; {givenas.example(self.shape.entry)}"
        return givenas.example(self.shape)


def asked_for(shape: Shape, typed: Typed, *, every: bool = False) -> list[Asked]:
    """Return the rows for an entry of this shape after what was typed so far.

    With `every`, the keys that can be added later as well.
    """
    match shape:
        case Kinds():
            kind = shape.kinds.get(str(typed.get("kind", "")))
            words = OneOf(tuple(shape.kinds))
            first = [Asked("kind", "kind", "what kind it is", words, is_optional=False)]
            return [*first, *(_of_kind(kind, typed, every=every) if kind else ())]
        case Entry():
            return list(_of_kind(shape.kind, typed, every=every))
        case _:
            return []


def row_for(name: str, means: str, shape: Shape, *, is_optional: bool) -> list[Asked]:
    """Return the row, or the rows, for one key that is no entry of its own."""
    key = Key(name, name, shape, means, None if is_optional else _NEEDED)
    return list(_rows(key, {}, is_optional=is_optional))


_NEEDED = object()


def data_of(shape: Shape, typed: Typed) -> dict[str, Any]:
    """Return the plain data of an entry; what is empty or `?` is left out.

    Raises LineRefused for a row with more columns than there are.
    """
    data: dict[str, Any] = {}
    for row in asked_for(shape, typed, every=True):
        given = typed.get(row.name, "")
        if isinstance(given, str):
            given = "" if row.is_optional and given.strip() in ("?", "unknown") else given
        if not given:
            continue
        above = data
        *ways, last = row.name.split("/")
        for way in ways:
            above = above.setdefault(way, {})
        above[last] = value_of(row, given)
    return data


def value_of(row: Asked, given: str | list[str]) -> Any:
    """Return the plain data for what was typed in a row, or in its rows."""
    if isinstance(row.shape, ByName):
        return _by_name(row.shape, [given] if isinstance(given, str) else given)
    if isinstance(row.shape, Entry) and isinstance(given, list):
        if given == ["none"]:
            return "none"
        return [from_line(row.shape, line) for line in given]
    return from_line(row.shape, given if isinstance(given, str) else "; ".join(given))


def typed_of(shape: Shape, data: Any) -> dict[str, str | list[str]]:
    """Return data as it would have been typed, to be changed in the same rows."""
    if not isinstance(data, dict):
        return {}
    flat = {**_flat(data), **data}
    texts = {name: one for name, one in flat.items() if isinstance(one, str)}
    typed: dict[str, str | list[str]] = {}
    for row in asked_for(shape, texts, every=True):
        if row.name in flat:
            typed[row.name] = typed_in(row, flat[row.name])
    return typed


def typed_in(row: Asked, data: Any) -> str | list[str]:
    """Return what stands at a row's place as it is typed."""
    if isinstance(row.shape, ByName) and isinstance(data, dict):
        return [f"{name}; {to_line(row.shape.entry, one)}" for name, one in data.items()]
    if row.is_many and isinstance(data, list):
        return [to_line(row.shape, one) for one in data]
    return [str(data)] if row.is_many else to_line(row.shape, data)


def _flat(data: Mapping[str, Any], under: str = "") -> dict[str, Any]:
    flat: dict[str, Any] = {}
    for key, one in data.items():
        flat[f"{under}{key}"] = one
        if isinstance(one, dict):
            flat |= _flat(one, f"{under}{key}/")
    return flat


def _of_kind(kind: type[Any], typed: Typed, *, every: bool, under: str = "") -> Iterator[Asked]:
    for key in keys_of(kind):
        wanted = _is_wanted(kind, key, typed, under)
        if key.is_needed or wanted or every:
            must = key.is_needed or (wanted and key.name in _MUST)
            yield from _rows(key, typed, is_optional=not must, under=under, every=every)


def _is_wanted(kind: type[Any], key: Key, typed: Typed, under: str) -> bool:
    if key.name in _WORTH_ASKING.get(kind, ()):
        return True
    return any(
        name == key.name
        and f"{under}{other}" in typed
        and str(typed[f"{under}{other}"]).strip() == word
        for name, other, word in _WHERE.get(kind, ())
    )


def _rows(
    key: Key, typed: Typed, *, is_optional: bool, under: str = "", every: bool = False
) -> Iterator[Asked]:
    name, shape = f"{under}{key.name}", key.shape
    item = _row_shape(shape)
    if is_line(shape):
        yield Asked(name, _label(name), key.means, shape, is_optional)
    elif item is not None:
        table = item.entry if isinstance(item, ByName) else item
        columns = "; ".join(givenas.columns(table)) if isinstance(table, Entry) else ""
        columns = f"name; {columns}" if isinstance(item, ByName) else columns
        yield Asked(name, _label(name), key.means, item, is_optional, is_many=True, columns=columns)
    elif isinstance(shape, Kinds):
        word = str(typed.get(f"{name}/kind", ""))
        means = f"{key.means}: {', '.join(shape.kinds)}"
        yield Asked(f"{name}/kind", _label(name), means, OneOf(tuple(shape.kinds)), is_optional)
        kind = shape.kinds.get(word)
        if kind:
            yield from _of_kind(kind, typed, every=every, under=f"{name}/")
    elif isinstance(shape, Entry) and not (is_optional and every and not _begun(typed, name)):
        yield from _of_kind(shape.kind, typed, every=every, under=f"{name}/")


def _begun(typed: Typed, name: str) -> bool:
    return any(row.startswith(f"{name}/") and held for row, held in typed.items())


def _row_shape(shape: Shape) -> Shape | None:
    """Return the shape of each row of a list of entries, or None where it is no such list."""
    if isinstance(shape, NoneOr):
        shape = shape.some
    if isinstance(shape, Many) and isinstance(shape.item, Entry) and is_row(shape.item):
        return shape.item
    if isinstance(shape, ByName) and isinstance(shape.entry, Entry) and shape.section == "wires":
        return shape
    return None


def _by_name(shape: ByName, lines: Sequence[str]) -> dict[str, Any]:
    data: dict[str, Any] = {}
    for line in lines:
        name, _, rest = line.partition(";")
        if name.strip() in data:
            raise LineRefused(f"“{name.strip()}” stands twice", right="Give each a name.")
        data[name.strip()] = from_line(shape.entry, rest)
    return data


def _label(name: str) -> str:
    return name.replace("/", ", ")
