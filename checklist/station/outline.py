"""What stands at a place of a station file, line by line, as it is looked at and edited."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

from checklist.station.lineform import to_line
from checklist.station.lists import Many, NoneOr, Pairs
from checklist.station.placed import keys_in, shape_at
from checklist.station.records import ByName, Entry, Key, Kinds
from checklist.station.shapes import Shape
from checklist.station.unfinished import Unfinished
from checklist.strictyaml import Path

_NOT_GIVEN = "-"


class Does(Enum):
    """What Enter does at a line."""

    EDIT = "edit"
    OPEN = "open"
    ADD = "add"
    GO_ON = "go on"


@dataclass(frozen=True, slots=True)
class Line:
    """One line: a key, an entry, a section, or what is not finished."""

    path: Path
    left: str
    right: str
    means: str
    does: Does
    unfinished: Unfinished | None = None


def outline(data: Any, path: Path, unfinished: Sequence[Unfinished] = ()) -> tuple[Line, ...]:
    """Return the lines at a path of the file's plain data; empty where nothing can stand."""
    shape, held = shape_at(path, data), _held(data, path)
    if not path:
        return tuple(_sections(data, unfinished))
    if isinstance(shape, ByName):
        return tuple(_entries(shape, path, held, unfinished))
    return tuple(_keys(shape, path, held))


def _sections(data: Any, unfinished: Sequence[Unfinished]) -> Iterator[Line]:
    for key in keys_in(shape_at((), data), data):
        path: Path = (key.name,)
        if key.name == "format":
            continue
        if key.name == "bonding":
            inside = keys_in(key.shape, {})
            yield from (_section((*path, one.name), one, data, unfinished) for one in inside)
        elif isinstance(key.shape, ByName):
            yield _section(path, key, data, unfinished)
        else:
            yield _key(path, key, data.get(key.name))


def _section(path: Path, key: Key, data: Any, unfinished: Sequence[Unfinished]) -> Line:
    held = _held(data, path)
    names = list(held) if isinstance(held, dict) else []
    begun = sum(one.section == path for one in unfinished)
    count = f"{len(names)}" if names else "none"
    open_ones = f", {begun} UNFINISHED" if begun else ""
    said = f"{count}{open_ones}{': ' if names else ''}{', '.join(names)}"
    return Line(path, " ".join(map(str, path)), said, key.means, Does.OPEN)


def _entries(
    shape: ByName, path: Path, held: Any, unfinished: Sequence[Unfinished]
) -> Iterator[Line]:
    for name, one in held.items() if isinstance(held, dict) else ():
        yield Line((*path, name), name, summary(shape.entry, one), "", Does.OPEN)
    for begun in unfinished:
        if begun.section == path:
            said = ", ".join(f"{k} {_text(v)}" for k, v in begun.typed.items() if v)
            yield Line(path, begun.called, f"UNFINISHED  {said}", "", Does.GO_ON, begun)
    yield Line(path, "add one", "", f"One more of the {path[-1]}.", Does.ADD)


def _keys(shape: Shape | None, path: Path, held: Any) -> Iterator[Line]:
    if isinstance(shape, Kinds):
        word = held.get("kind", "") if isinstance(held, dict) else ""
        yield Line((*path, "kind"), "kind", word, "what kind it is", Does.EDIT)
    for key in keys_in(shape, held):
        yield _key((*path, key.name), key, held.get(key.name) if isinstance(held, dict) else None)


def _key(path: Path, key: Key, held: Any) -> Line:
    needed = "" if key.is_needed else " (may be left out)"
    is_inside = isinstance(key.shape, Entry | Kinds | ByName) and isinstance(held, dict)
    said = _NOT_GIVEN if held is None else _value(key.shape, held)
    return Line(path, key.name, said, f"{key.means}{needed}", Does.OPEN if is_inside else Does.EDIT)


def _value(shape: Shape, held: Any) -> str:
    if isinstance(shape, NoneOr) and isinstance(held, list):
        shape = shape.some
    if isinstance(shape, Many) and isinstance(shape.item, Entry) and isinstance(held, list):
        rows = " | ".join(to_line(shape.item, one) for one in held)
        return f"{len(held)}: {rows}"
    if isinstance(shape, ByName) and isinstance(held, dict):
        return f"{len(held)}: {', '.join(held)}"
    if isinstance(shape, Entry | Kinds):
        return summary(shape, held)
    return to_line(shape, held)


def summary(shape: Shape, held: Any) -> str:
    """Return an entry in one line: its kind, what it is, and its first values."""
    if not isinstance(held, dict):
        return to_line(shape, held)
    first = [held[key] for key in ("kind", "is") if isinstance(held.get(key), str)]
    rest = [
        f"{key.name} {to_line(key.shape, held[key.name])}"
        for key in keys_in(shape, held)
        if key.name in held
        and key.name not in ("kind", "is")
        and (
            isinstance(held[key.name], str)
            or isinstance(key.shape, Pairs)
            or _is_short(held[key.name])
        )
    ]
    return ", ".join([*first, *rest])


def _is_short(held: Any) -> bool:
    return isinstance(held, list) and all(isinstance(one, str) for one in held)


def _text(typed: str | list[str]) -> str:
    return typed if isinstance(typed, str) else " | ".join(typed)


def _held(data: Any, path: Path) -> Any:
    for step in path:
        data = data.get(step) if isinstance(data, dict) else None
    return data
