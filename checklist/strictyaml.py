"""Reads YAML strictly: every key and value knows its line and column, nothing is guessed.

Plain scalars stay text (`no` is "no", `12:30` is "12:30"); aliases, anchors, tags,
duplicate keys and more than one document are refused, each with its place.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import yaml

from checklist.errors import StandclearError

_LARGEST = 1_000_000
_DEEPEST = 24
_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """A line and column in a file, both counted from 1."""

    line: int
    column: int


class YamlRefused(StandclearError):
    """The text is not YAML of the strict kind that is read here."""


@dataclass(slots=True)
class Document:
    """The plain data of a YAML text with the place of every key and value."""

    name: str
    """The file's name, as it stands in messages."""

    data: Any
    """Dicts, lists and strings; nothing else."""

    places: dict[Path, Place] = field(default_factory=dict)
    """Where each value begins; a key's own place is under its path as well."""

    def where(self, path: Path) -> str:
        """Return `file, line L, column C` of the nearest known part of `path`."""
        for end in range(len(path), -1, -1):
            place = self.places.get(path[:end])
            if place:
                return f"{self.name}, line {place.line}, column {place.column}"
        return self.name


def read_yaml(text: str, name: str) -> Document:
    """Return the document that `text` holds; raises YamlRefused with file, line and column."""
    if len(text) > _LARGEST:
        raise YamlRefused(f"the file has {len(text)} characters", where=name, right="Split it.")
    document = Document(name, None)
    try:
        _refuse_anchors(text, name)
        node = yaml.compose(text, Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        where = f"{name}, line {mark.line + 1}, column {mark.column + 1}" if mark else name
        raise YamlRefused(str(error.problem or error.context), where=where) from None
    except yaml.reader.ReaderError as error:
        raise YamlRefused(f"character {error.position + 1} cannot be read", where=name) from None
    if node is None:
        raise YamlRefused("the file is empty", where=name)
    document.data = _plain(node, (), document)
    return document


def _refuse_anchors(text: str, name: str) -> None:
    for event in yaml.parse(text, Loader=_Loader):
        anchor = getattr(event, "anchor", None)
        if anchor is not None:
            raise YamlRefused(
                "anchors and aliases (& and *) are not read here",
                where=_at(name, event.start_mark),
                right="Write the text out, in quotes if it begins with such a sign.",
            )


def _plain(node: Any, path: Path, document: Document) -> Any:
    document.places.setdefault(path, _place(node.start_mark))
    if len(path) > _DEEPEST:
        raise YamlRefused("nested too deeply", where=_at(document.name, node.start_mark))
    if not node.tag.startswith("tag:yaml.org,2002:"):
        raise YamlRefused("tags (!) are not read here", where=_at(document.name, node.start_mark))
    if isinstance(node, yaml.ScalarNode):
        return "" if node.tag.endswith(":null") and node.value in {"~", "null"} else node.value
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item, (*path, i), document) for i, item in enumerate(node.value)]
    return _mapping(node, path, document)


def _mapping(node: Any, path: Path, document: Document) -> dict[str, Any]:
    result: dict[str, Any] = {}
    for key_node, value_node in node.value:
        where = _at(document.name, key_node.start_mark)
        if not isinstance(key_node, yaml.ScalarNode):
            raise YamlRefused("a key must be a plain word", where=where)
        key = str(key_node.value)
        if key in result:
            raise YamlRefused(f"“{key}” stands twice", where=where, right="Keep one of them.")
        document.places[(*path, key)] = _place(key_node.start_mark)
        result[key] = _plain(value_node, (*path, key), document)
    return result


def _place(mark: Any) -> Place:
    return Place(mark.line + 1, mark.column + 1)


def _at(name: str, mark: Any) -> str:
    return f"{name}, line {mark.line + 1}, column {mark.column + 1}"
