"""Reads YAML strictly: every key and value knows its line and column, nothing is guessed.

Plain scalars stay text (`no` is "no", `12:30` is "12:30"); aliases, anchors, tags,
duplicate keys and more than one document are refused, each with its place.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import yaml

from checklist import __version__, plaintext
from checklist.errors import StandclearError

_LARGEST = 1_000_000
_DEEPEST = 24
_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

Path = tuple[str | int, ...]

# YAML 1.1, section 5.1, production [1] c-printable: everything else cannot stand in a file.
_NOT_YAML = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_WRITE_OUT = "Write the text out, in quotes if it begins with such a sign."
_SAID = {
    "found character that cannot start any token": (
        "no text can begin with this character",
        "Indent with spaces, not tabs; put a text that begins with @, % or ` in quotes.",
    ),
    "mapping values are not allowed in this context": (
        "a colon stands where none can",
        "Put a text that holds “: ” in quotes, and align the keys.",
    ),
    "could not find expected ':'": (
        "a key has no colon",
        "Write: key: text. Indent the further lines of a long text.",
    ),
    "found unexpected end of stream": ("a quote is not closed", "Close it where the text ends."),
    "did not find expected ',' or ']'": ("a list in [ ] is not closed", "Close it with ]."),
    "did not find expected ',' or '}'": ("a mapping in { } is not closed", "Close it with }."),
    "did not find expected key": (
        "no key begins here",
        "Align the keys, and put a text with quotes or brackets in it in quotes as a whole.",
    ),
    "did not find expected '-' indicator": ("no item begins here", "Align the signs -."),
    "exceeded maximum nesting depth": ("nested too deeply", ""),
}
"""The parser's own words, and what is said instead: what is wrong, and what would be right."""


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
    _refuse_unreadable(text, name)
    try:
        _refuse_by_event(text, name)
        node = yaml.compose(text, Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problem = str(error.problem or error.context)
        what, right = _SAID.get(problem, (f"this is not YAML ({problem})", ""))
        raise YamlRefused(what, where=_at(name, mark) if mark else name, right=right) from None
    if node is None:
        raise YamlRefused("the file is empty", where=name)
    document.data = _plain(node, (), document)
    return document


def _refuse_unreadable(text: str, name: str) -> None:
    found = _NOT_YAML.search(text)
    if found:
        before = text[: found.start()]
        line, column = before.count("\n") + 1, found.start() - before.rfind("\n")
        raise YamlRefused(
            f"the character U+{ord(found[0]):04X} cannot be read",
            where=f"{name}, line {line}, column {column}",
            right="Delete it, and save the file as plain UTF-8 text.",
        )


def _refuse_by_event(text: str, name: str) -> None:
    """Refuse what would be lost, or too deep, once the text is a tree."""
    depth = documents = 0
    for event in yaml.parse(text, Loader=_Loader):
        where = _at(name, event.start_mark)
        documents += isinstance(event, yaml.DocumentStartEvent)
        depth += isinstance(event, yaml.CollectionStartEvent)
        depth -= isinstance(event, yaml.CollectionEndEvent)
        if documents > 1:
            raise YamlRefused(
                "a second document begins here (---)", where=where, right="Keep one in a file."
            )
        if depth > _DEEPEST:
            raise YamlRefused("nested too deeply", where=where)
        if getattr(event, "anchor", None) is not None:
            raise YamlRefused(
                "anchors and aliases (& and *) are not read here", where=where, right=_WRITE_OUT
            )
        if getattr(event, "tag", None) is not None:
            raise YamlRefused("tags (!) are not read here", where=where, right=_WRITE_OUT)


def _plain(node: Any, path: Path, document: Document) -> Any:
    document.places.setdefault(path, _place(node.start_mark))
    if isinstance(node, yaml.ScalarNode):
        empty = node.tag.endswith(":null") and node.value in {"~", "null"}
        return "" if empty else _harmless(node, document)
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item, (*path, i), document) for i, item in enumerate(node.value)]
    return _mapping(node, path, document)


def _mapping(node: Any, path: Path, document: Document) -> dict[str, Any]:
    result: dict[str, Any] = {}
    for key_node, value_node in node.value:
        where = _at(document.name, key_node.start_mark)
        if not isinstance(key_node, yaml.ScalarNode):
            raise YamlRefused("a key must be a plain word", where=where)
        key = _harmless(key_node, document)
        if key in result:
            raise YamlRefused(f"“{key}” stands twice", where=where, right="Keep one of them.")
        document.places[(*path, key)] = _place(key_node.start_mark)
        result[key] = _plain(value_node, (*path, key), document)
    return result


def _harmless(node: Any, document: Document) -> str:
    """Return the text of a scalar; escapes such as a NUL bring in what no file may hold."""
    text = str(node.value)
    try:
        plaintext.accept(text, field="", longest=_LARGEST, lines=True)
    except plaintext.TextRefused as refused:
        raise YamlRefused(
            refused.what, where=_at(document.name, node.start_mark), right="Delete it."
        ) from None
    return text


def _place(mark: Any) -> Place:
    return Place(mark.line + 1, mark.column + 1)


def _at(name: str, mark: Any) -> str:
    return f"{name}, line {mark.line + 1}, column {mark.column + 1}"


def later_format(document: Document, known: str) -> str:
    """Return the sentence that refuses a file of a later format than `known`, or an empty text.

    Nothing else in such a file can be judged. Anything but a later whole number passes.
    """
    found = document.data.get("format") if isinstance(document.data, dict) else None
    if not isinstance(found, str) or not re.fullmatch(r"[1-9][0-9]{0,8}", found):
        return ""
    if int(found) <= int(known):
        return ""
    return (
        f"{document.where(('format',))}: this file has format {found}, written for a later version "
        f"of the program; standclear {__version__} reads format {known}."
    )
