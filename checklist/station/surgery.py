"""Changes single values in the text of a YAML file and leaves every other byte as it stands.

The text is cut at the marks that the parser gives for keys and values, in block and in flow
style. Whatever comes out is read again: unless it holds exactly the data that was meant, the
change is refused and the old text stays.
"""

from __future__ import annotations

import copy
from typing import Any

import yaml

from checklist.errors import StandclearError
from checklist.station.marks import (
    EditRefused,
    child_of,
    data_at,
    end_of,
    is_flow,
    line_end,
    node_at,
    pair_of,
    plain,
    spans,
    way,
)
from checklist.station.rendering import entry, one_line, quoted, scalar, value
from checklist.strictyaml import Path, read_yaml

_WIDTH = 100


def with_value(text: str, path: Path, data: Any, before: str = "") -> str:
    """Return the text with `data` at the path, where something stands already or a key is new.

    Of lists and mappings only what differs is written. The mapping or list above must be
    there; a new key is put ahead of the key `before`, or at the end. Raises EditRefused.
    """
    held = read_yaml(text, "the file").data
    wanted = copy.deepcopy(held)
    above = data_at(wanted, path[:-1])
    step = path[-1]
    if isinstance(above, dict):
        above[step] = data
    elif isinstance(above, list) and isinstance(step, int) and 0 <= step <= len(above):
        above[step : step + 1] = [data]
    else:
        raise EditRefused("there is no such place in the file", where=way(path))
    return _verified(_changed(text, path, data, before), wanted)


def without(text: str, path: Path) -> str:
    """Return the text without the key or item at the path; raises EditRefused."""
    wanted = copy.deepcopy(read_yaml(text, "the file").data)
    above = data_at(wanted, path[:-1])
    try:
        del above[path[-1]]
    except (LookupError, TypeError):
        raise EditRefused("there is no such place in the file", where=way(path)) from None
    return _verified(_cut_out(text, path), wanted)


def with_key(text: str, path: Path, name: str) -> str:
    """Return the text with the key at the path called `name`; raises EditRefused."""
    held = read_yaml(text, "the file").data
    wanted = copy.deepcopy(held)
    above = data_at(wanted, path[:-1])
    if not isinstance(above, dict) or path[-1] not in above:
        raise EditRefused("there is no such place in the file", where=way(path))
    if name in above:
        raise EditRefused(f"“{name}” stands there already", where=way(path[:-1]))
    pairs = [(name if key == path[-1] else key, one) for key, one in above.items()]
    above.clear()
    above.update(pairs)
    key, _ = pair_of(node_at(text, path[:-1]), path[-1])
    written = scalar(name, flow=True)
    return _verified(_spliced(text, key.start_mark.index, key.end_mark.index, written), wanted)


def _verified(text: str, wanted: Any) -> str:
    try:
        held = read_yaml(text, "the file").data
    except StandclearError as error:
        raise EditRefused(
            f"this cannot be changed here ({error.what})", right="Change it in a text editor."
        ) from None
    if held != wanted:
        raise EditRefused("this cannot be changed here", right="Change it in a text editor.")
    return text


def _changed(text: str, path: Path, data: Any, before: str = "") -> str:
    """Return the text with the data at the path; only what differs is touched."""
    above = node_at(text, path[:-1])
    here = child_of(above, path[-1])
    if here is None:
        return _added(text, path, data, before)
    old = plain(here)
    if old == data:
        return text
    if isinstance(old, dict) and isinstance(data, dict) and old and data:
        return _mapping_changed(text, path, old, data)
    if isinstance(old, list) and isinstance(data, list) and old and data:
        return _list_changed(text, path, old, data)
    return _replaced(text, above, path[-1], here, data)


def _mapping_changed(text: str, path: Path, old: dict[str, Any], data: dict[str, Any]) -> str:
    for key, one in data.items():
        text = _changed(text, (*path, key), one)
    for key in old:
        if key not in data:
            text = _cut_out(text, (*path, key))
    return text


def _list_changed(text: str, path: Path, old: list[Any], data: list[Any]) -> str:
    if len(old) > len(data):  # one item that went is cut out where it stood
        same = next((i for i, one in enumerate(data) if old[i] != one), len(data))
        gone = range(same, same + len(old) - len(data))
        for i in reversed(gone):
            text = _cut_out(text, (*path, i))
    for i, one in enumerate(data):
        text = _changed(text, (*path, i), one)
    return text


def _replaced(text: str, above: Any, step: str | int, here: Any, data: Any) -> str:
    start, end = here.start_mark.index, end_of(text, here)
    if is_flow(text, above):
        return _spliced(text, start, end, _flow_value(here, data))
    if not isinstance(step, str):
        return _spliced(text, start, end, one_line(data))
    key, _ = pair_of(above, step)
    colon = text.index(":", key.end_mark.index) + 1
    indent = key.start_mark.column
    is_beside = here.start_mark.line == key.start_mark.line and start > colon
    if isinstance(data, str) and "\n" in data and text[end : line_end(text, end)].strip():
        # A comment ends this line, and would fall into a text written in lines.
        written = quoted(data) if is_beside else f" {quoted(data)}"
        return _spliced(text, start if is_beside else colon, max(colon, end), written)
    if isinstance(data, str) and is_beside:
        return _spliced(text, start, end, _like(here, data) or value(data, indent))
    new = value(data, indent, len(step) + 2)
    return _spliced(text, colon, max(colon, end), new if new.startswith("\n") else f" {new}")


def _flow_value(here: Any, data: Any) -> str:
    return (_like(here, data) if isinstance(data, str) else "") or one_line(data)


def _like(here: Any, data: str) -> str:
    """Return the text in double quotes where the old one stood in quotes, else nothing."""
    is_quoted = isinstance(here, yaml.ScalarNode) and here.style in ('"', "'")
    return quoted(data) if is_quoted else ""


def _added(text: str, path: Path, data: Any, before: str) -> str:
    above, step = node_at(text, path[:-1]), path[-1]
    if isinstance(above, yaml.ScalarNode):  # a key without a value
        return _changed(text, path[:-1], {step: data} if isinstance(step, str) else [data])
    if is_flow(text, above) or not above.value:
        return _added_in_flow(text, above, step, data)
    if not isinstance(step, str):
        column = above.start_mark.column
        return _after_line(text, end_of(text, above), f"{' ' * column}- {one_line(data)}")
    column = above.value[0][0].start_mark.column
    line = f"{' ' * column}{entry(step, data, column)}"
    keys = [key.value for key, _ in above.value]
    if before in keys[1:]:
        _, ahead = above.value[keys.index(before) - 1]
        key, _ = above.value[keys.index(before) - 1]
        return _after_line(text, max(end_of(text, ahead), key.end_mark.index), line)
    key, last = above.value[-1]
    return _after_line(text, max(end_of(text, last), key.end_mark.index), line)


def _added_in_flow(text: str, above: Any, step: str | int, data: Any) -> str:
    new = one_line(data)
    if isinstance(step, str):
        new = f"{scalar(step, flow=True)}: {new}"
    if not above.value:
        at = above.start_mark.index + 1
        return _spliced(text, at, at, new)
    last = above.value[-1][1] if isinstance(above, yaml.MappingNode) else above.value[-1]
    at = end_of(text, last)
    here, begins = text.rfind("\n", 0, at) + 1, above.start_mark.index
    if at - here + len(new) + 3 <= _WIDTH:
        return _spliced(text, at, at, f", {new}")
    first = text.rfind("\n", 0, begins) + 1
    margin = len(text[first:begins]) - len(text[first:begins].lstrip(" -"))
    space = " " * (margin + 2 if first == here else len(text[here:]) - len(text[here:].lstrip(" ")))
    return _spliced(text, at, at, f",\n{space}{new}")


def _cut_out(text: str, path: Path) -> str:
    above, step = node_at(text, path[:-1]), path[-1]
    pairs = spans(text, above)
    names = [key.value for key, _ in above.value] if isinstance(step, str) else range(len(pairs))
    at = list(names).index(step)
    start, end = pairs[at]
    if len(pairs) == 1:
        if len(path) == 1:
            raise EditRefused("nothing would be left of the file")
        empty = "{}" if isinstance(step, str) else "[]"
        return _emptied(text, path[:-1], empty)
    if is_flow(text, above):
        if at + 1 < len(pairs):
            return _spliced(text, start, pairs[at + 1][0], "")
        return _spliced(text, pairs[at - 1][1], end, "")
    line = text.rfind("\n", 0, start) + 1
    if text[line:start].strip():  # the first key of an item, beside its dash
        return _spliced(text, start, pairs[at + 1][0], "")
    return _spliced(text, line, line_end(text, end), "")


def _emptied(text: str, path: Path, empty: str) -> str:
    here = node_at(text, path)
    start, end = here.start_mark.index, end_of(text, here)
    if is_flow(text, here) or not path or not isinstance(path[-1], str):
        return _spliced(text, start, end, empty)
    key, _ = pair_of(node_at(text, path[:-1]), path[-1])
    colon = text.index(":", key.end_mark.index) + 1
    return _spliced(text, colon, end, f" {empty}")


def _after_line(text: str, index: int, lines: str) -> str:
    """Return the text with whole lines put after the line on which `index` stands."""
    at = line_end(text, index)
    if at and text[at - 1] != "\n":
        return _spliced(text, at, at, f"\n{lines}")
    return _spliced(text, at, at, f"{lines}\n")


def _spliced(text: str, start: int, end: int, new: str) -> str:
    """Return the text with `new` between the two places, its line breaks as the file has them."""
    if "\r\n" in text:
        new = new.replace("\n", "\r\n")
    return text[:start] + new + text[end:]
