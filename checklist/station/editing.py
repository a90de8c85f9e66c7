"""Edits of a whole station file: made in its text, then loaded strictly, or refused whole.

Comments, order and spacing stay as somebody wrote them. An edit whose result would not load
is refused with the loader's first sentence, and the old text stays.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from checklist.station.loader import STATION, StationRefused, station_of
from checklist.station.marks import EditRefused
from checklist.station.placed import following, shape_at
from checklist.station.reading import Known, Pass, Unusable
from checklist.station.records import ByName
from checklist.station.station import Station
from checklist.station.surgery import with_key, with_value, without
from checklist.strictyaml import Path, read_yaml

_NAME = "station.yaml"


@dataclass(frozen=True, slots=True)
class Edited:
    """A station file after an edit."""

    text: str
    station: Station


def loaded(text: str, known: Known | None = None, name: str = _NAME) -> Edited:
    """Return a text with the station in it; raises StationRefused with every error."""
    return Edited(text, station_of(read_yaml(text, name), known))


def set_value(text: str, path: Path, data: Any, known: Known | None = None) -> Edited:
    """Return the file with `data` at the path: a text, or lists and mappings of texts.

    A key, a section or an entry that is not there yet is added in its usual place. Raises
    EditRefused with the loader's sentence where the file would no longer be right.
    """
    held = read_yaml(text, _NAME).data
    while len(path) > 1 and not _is_there(held, path[:-1]):
        path, data = path[:-1], {path[-1]: data}
    return _strictly(text, with_value(text, path, data, following(path, held)), known)


def add_entry(
    text: str, section: Path, name: str, data: dict[str, Any], known: Known | None = None
) -> Edited:
    """Return the file with one more entry in a section, such as `("antennas",)`.

    Raises EditRefused where the name is taken, or the file would no longer be right.
    """
    held = _held(read_yaml(text, _NAME).data, section)
    if isinstance(held, dict) and name in held:
        raise EditRefused(f"“{name}” is there already", right="Give another name.")
    return set_value(text, (*section, name), data, known)


def remove(text: str, path: Path, known: Known | None = None) -> Edited:
    """Return the file without the key, item or entry at the path.

    Raises EditRefused with the references named while something refers to an entry, and where
    a key is needed. A section that would be empty goes as a whole.
    """
    held = read_yaml(text, _NAME).data
    pointing = references(text, path)
    if pointing:
        raise EditRefused(
            f"“{path[-1]}” cannot go while it is named by {said(pointing)}",
            right="Change these first.",
        )
    while len(path) > 1 and _is_last_of_section(held, path):
        path = path[:-1]
    return _strictly(text, without(text, path), known)


def rename(text: str, path: Path, name: str, known: Known | None = None) -> Edited:
    """Return the file with the entry at the path called `name`, wherever it is referred to.

    Raises EditRefused where the name is taken or is none.
    """
    changed = text
    for place in references(text, path):
        changed = with_value(changed, place, name)
    return _strictly(text, with_key(changed, path, name), known)


def references(text: str, path: Path) -> tuple[Path, ...]:
    """Return the places of the file that refer to the entry at the path; none for a key."""
    document = read_yaml(text, _NAME)
    section = shape_at(path[:-1], document.data)
    if not isinstance(section, ByName) or not isinstance(path[-1], str):
        return ()
    reading = Pass(document)
    with suppress(Unusable):  # what could be read has noted what it refers to
        STATION.read(document.data, (), reading)
    # Wires are named within their own antenna; every other name holds for the whole file.
    within = path[:2] if section.section == "wires" else ()
    return tuple(
        one.path
        for one in reading.references
        if one.name == path[-1]
        and section.section in one.sections
        and one.path[: len(within)] == within
        and one.path[: len(path)] != path
    )


def said(places: tuple[Path, ...]) -> str:
    """Return places in words: `emissions evening-net, antenna; places track, within-reach 1`."""
    return "; ".join(_way(place) for place in places)


def _way(path: Path) -> str:
    steps = [str(step + 1) if isinstance(step, int) else step for step in path]
    return f"{steps[0]} {', '.join(steps[1:])}" if len(steps) > 1 else steps[0]


def _strictly(old: str, text: str, known: Known | None) -> Edited:
    """Return the edited file, or refuse with the first error that was not there before."""
    try:
        return loaded(text, known)
    except StationRefused as refused:
        before = _errors(old, known)
        new = [error for error in refused.errors if _untold(error) not in before]
        first = (new or refused.errors)[0]
        raise EditRefused(_untold(first).rstrip(".")) from None


def _errors(text: str, known: Known | None) -> set[str]:
    try:
        loaded(text, known)
    except StationRefused as refused:
        return {_untold(error) for error in refused.errors}
    return set()


def _untold(error: str) -> str:
    """Return a sentence without its line: the person is at the place, and the text is not kept."""
    where, colon, what = error.partition(": ")
    return what if colon and where.startswith(_NAME) else error


def _is_last_of_section(held: Any, path: Path) -> bool:
    above = _held(held, path[:-1])
    return isinstance(above, dict | list) and len(above) == 1


def _is_there(data: Any, path: Path) -> bool:
    held = _held(data, path)
    return isinstance(held, dict | list)


def _held(data: Any, path: Path) -> Any:
    for step in path:
        if isinstance(data, dict):
            data = data.get(str(step))
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    return data
