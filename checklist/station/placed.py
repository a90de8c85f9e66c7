"""Which shape stands at a place of a station file, and which keys may stand there."""

from __future__ import annotations

from typing import Any

from checklist.station.lists import Many, NoneOr, Pairs
from checklist.station.loader import STATION
from checklist.station.records import ByName, Entry, Key, Kinds, keys_of
from checklist.station.shapes import Shape
from checklist.strictyaml import Path


def shape_at(path: Path, data: Any) -> Shape | None:
    """Return the shape of what stands, or may stand, at the path; None where nothing can.

    `data` is the whole file as plain data: the word under `kind:` decides which keys there are.
    """
    shape: Shape | None = STATION
    for step in path:
        shape = _inside(shape, step, data)
        data = data.get(step) if isinstance(data, dict) else _item(data, step)
    return shape


def keys_in(shape: Shape | None, data: Any) -> tuple[Key, ...]:
    """Return the keys of an entry in the order in which they are written; none for others."""
    match shape:
        case Entry():
            return keys_of(shape.kind)
        case Kinds():
            kind = shape.kinds.get(data.get("kind", "")) if isinstance(data, dict) else None
            return keys_of(kind) if kind else ()
        case _:
            return ()


def key_at(path: Path, data: Any) -> Key | None:
    """Return the key that the path ends with, or None for a name, an item or `kind`."""
    above = data
    for step in path[:-1]:
        above = above.get(step) if isinstance(above, dict) else _item(above, step)
    keys = keys_in(shape_at(path[:-1], data), above)
    return next((key for key in keys if key.name == path[-1]), None)


def following(path: Path, data: Any) -> str:
    """Return the key ahead of which a new one stands in the usual order; empty for the end."""
    above: Any = data
    for step in path[:-1]:
        above = above.get(step) if isinstance(above, dict) else _item(above, step)
    if not isinstance(above, dict):
        return ""
    names = [key.name for key in keys_in(shape_at(path[:-1], data), above)]
    later = names[names.index(path[-1]) + 1 :] if path[-1] in names else []
    return next((name for name in later if name in above), "")


def _inside(shape: Shape | None, step: str | int, data: Any) -> Shape | None:
    match shape:
        case Entry() | Kinds():
            found = {key.name: key.shape for key in keys_in(shape, data)}
            return found.get(step) if isinstance(step, str) else None
        case ByName():
            return shape.entry
        case Many():
            return shape.item
        case NoneOr():
            return shape.some.item
        case Pairs():
            return shape.right
        case _:
            return None


def _item(data: Any, step: str | int) -> Any:
    is_there = isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data)
    return data[step] if is_there and isinstance(step, int) else None
