"""How a value of the station file is typed on one line, what may be given, and how it is read.

Parts of a position or list stand between commas, points and columns between semicolons. What
is typed becomes the plain data of the file; the shape itself says whether it is right.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import Any

from checklist.errors import StandclearError
from checklist.quantities import Quantity, both
from checklist.station.bonding import Gauge
from checklist.station.geometry import At, Position
from checklist.station.givenas import columns
from checklist.station.lists import Many, NoneOr, Pairs
from checklist.station.reading import Known, Pass, Unusable
from checklist.station.records import ByName, Entry, keys_of
from checklist.station.shapes import (
    Day,
    Matching,
    Measure,
    Naming,
    OneOf,
    Shape,
    Whole,
    Words,
    YesNo,
)
from checklist.station.site import LimitSet
from checklist.strictyaml import Document


class LineRefused(StandclearError):
    """What was typed for a value cannot stand there."""


def is_line(shape: Shape) -> bool:
    """Whether a value of this shape is typed on one line."""
    match shape:
        case Many():
            return isinstance(shape.item, At) or _is_single(shape.item)
        case Pairs() | At():
            return True
        case _:
            return _is_single(shape)


def is_table(shape: Shape) -> bool:
    """Whether a value of this shape is a list of rows, each typed on one line."""
    return isinstance(shape, Many) and isinstance(shape.item, Entry) and is_row(shape.item)


def is_row(shape: Shape) -> bool:
    """Whether an entry can be typed in columns between semicolons."""
    return isinstance(shape, Entry) and all(is_line(key.shape) for key in keys_of(shape.kind))


def to_line(shape: Shape, data: Any) -> str:
    """Return data as it is typed; what does not fit the shape is shown as it stands."""
    if isinstance(data, str):
        return " / ".join(line for line in data.strip().split("\n") if line.strip())
    match shape:
        case At() | Many() if isinstance(data, list):
            points = isinstance(shape, Many) and isinstance(shape.item, At)
            inner = shape.item if isinstance(shape, Many) else Words()
            return ("; " if points else ", ").join(to_line(inner, one) for one in data)
        case Pairs() if isinstance(data, dict):
            return ", ".join(f"{left}: {right}" for left, right in data.items())
        case Entry() if isinstance(data, dict):
            return _columns(shape, data)
        case _:
            return str(data)


def from_line(shape: Shape, line: str) -> Any:
    """Return the plain data that a line stands for; whether it is right is asked of the shape."""
    text = line.strip()
    match shape:
        case At():
            return _parts(_bare(text, "[]"), ",")
        case Many():
            is_points = isinstance(shape.item, At | Entry)
            text = text if is_points else _bare(text, "[]")
            return [from_line(shape.item, one) for one in _parts(text, ";" if is_points else ",")]
        case NoneOr():
            return "none" if text == "none" else from_line(shape.some, text)
        case Pairs():
            return _pairs(_bare(text, "{}"))
        case Entry():
            return _row(shape, text)
        case Words(lines=True):
            return "\n".join(_parts(text, " / "))
        case _:
            return text


def checked(
    shape: Shape,
    line: str,
    known: Known | None = None,
    names: Mapping[str, Sequence[str]] | None = None,
) -> tuple[Any, Any]:
    """Return the data of a line and the value that it is read as.

    `names` are those that may be referred to, by section. Raises LineRefused with one sentence.
    """
    return _read(shape, from_line(shape, line), known, names)


def checked_named(
    shape: ByName,
    line: str,
    known: Known | None = None,
    names: Mapping[str, Sequence[str]] | None = None,
) -> tuple[str, Any]:
    """Return the name at the beginning of a line, and the entry after it as it is read.

    Raises LineRefused with one sentence.
    """
    name, semicolon, rest = line.partition(";")
    name = name.strip()
    if not semicolon:
        raise LineRefused("a name and its columns are needed, between semicolons")
    _, value = _read(shape, {name: from_line(shape.entry, rest)}, known, names)
    return name, value[0]


def _read(
    shape: Shape,
    data: Any,
    known: Known | None,
    names: Mapping[str, Sequence[str]] | None,
) -> tuple[Any, Any]:
    reading = Pass(Document("", data), known or Known())
    value = None
    with suppress(Unusable):  # what is wrong is said below
        value = shape.read(data, (), reading)
    if names is not None:
        reading.names = {section: list(held) for section, held in names.items()}
        reading.resolve()
    if reading.errors:
        path, what = reading.errors[0]
        where = _where(shape, path)
        raise LineRefused(f"{where}{what}".rstrip("."))
    return data, value


def understood(value: Any) -> str:
    """Return how a value is read, in both habits' units; empty where the text says it all."""
    match value:
        case Quantity():
            shown = both(value, 4)
            return f"= {shown}" if shown != value.typed else ""
        case Position():
            axes = zip(("east", "north", "up"), (value.x, value.y, value.z), strict=True)
            return "= " + ", ".join(f"{both(one, 4)} {axis}" for axis, one in axes)
        case tuple() if value and all(isinstance(one, Quantity) for one in value):
            return "= " + ", ".join(both(one, 4) for one in value)
        case tuple() if value and all(isinstance(one, Position) for one in value):
            return f"{len(value)} points"
        case _:
            return ""


def _is_single(shape: Shape) -> bool:
    kinds = (Words, Matching, OneOf, YesNo, Whole, Day, Measure, Naming, LimitSet, Gauge)
    return isinstance(shape, kinds)


def _bare(text: str, around: str) -> str:
    """Return the text without brackets around it, typed as they stand in the file."""
    is_within = len(text) > 1 and text[0] == around[0] and text[-1] == around[1]
    return text[1:-1] if is_within else text


def _parts(text: str, between: str) -> list[str]:
    return [part.strip() for part in text.split(between) if part.strip()]


def _pairs(text: str) -> dict[str, str]:
    pairs = (part.partition(":") for part in _parts(text, ","))
    return {left.strip(): right.strip() for left, _, right in pairs}


def _row(shape: Entry, text: str) -> dict[str, Any]:
    given = [part.strip() for part in text.split(";")]
    keys = keys_of(shape.kind)
    if len(given) > len(keys):
        raise LineRefused(
            f"{len(given)} columns stand here", right=f"They are: {'; '.join(columns(shape))}."
        )
    return {
        key.name: from_line(key.shape, part) for key, part in zip(keys, given, strict=False) if part
    }


def _columns(shape: Entry, data: dict[str, Any]) -> str:
    keys = keys_of(shape.kind)
    parts = [to_line(k.shape, data[k.name]) if k.name in data else "" for k in keys]
    while parts and not parts[-1]:
        parts.pop()
    return "; ".join(parts)


def _where(shape: Shape, path: tuple[str | int, ...]) -> str:
    """Return which column of a row is meant; the place in a position needs no word."""
    if isinstance(shape, Entry) and path and isinstance(path[0], str):
        return f"{path[0]}: "
    return ""
