"""Entries with keys: how the dataclasses of a station stand in its file.

A field that is declared with `needed` or `maybe` stands in the file under its own name with
`-` for `_`. Its shape reads and writes it; its meaning is what a person is asked for.
"""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from checklist.station.reading import Pass, Unusable
from checklist.station.shapes import Leaf, Shape, a_name, listed, one_text, short
from checklist.strictyaml import Path

UNKNOWN = "unknown"
"""What may stand for a quantity that nobody knows; the same as leaving the key out."""


class EntryName(str):
    """A step of a way that names an entry; what lies below it changes with that entry."""

    __slots__ = ()


def needed(shape: Shape, means: str) -> Any:
    """Declare a key that must stand in the file; `means` says what it is."""
    return dataclasses.field(metadata={"shape": shape, "means": means})


def maybe(shape: Shape, means: str, default: Any = None) -> Any:
    """Declare a key that may be left out; None then stands for unknown or not there."""
    return dataclasses.field(default=default, metadata={"shape": shape, "means": means})


@dataclass(frozen=True, slots=True)
class Key:
    """One key of an entry, as it is declared on the dataclass."""

    name: str
    """In the file."""

    attribute: str
    shape: Shape
    means: str
    default: Any

    @property
    def is_needed(self) -> bool:
        """Whether the key must stand in the file."""
        return self.default is dataclasses.MISSING


def keys_of(kind: type[Any]) -> tuple[Key, ...]:
    """Return the keys of an entry of this kind, in the order in which they are written."""
    return tuple(
        Key(
            field.name.rstrip("_").replace("_", "-"),
            field.name,
            field.metadata["shape"],
            field.metadata["means"],
            field.default,
        )
        for field in dataclasses.fields(kind)
        if "shape" in field.metadata
    )


@dataclass(frozen=True, slots=True)
class Entry(Shape):
    """An entry of one kind. A class may have `problems()`, which yields (key, what is wrong)."""

    kind: type[Any]
    tag: str = ""
    """What stands under `kind:` where the entry is one of several kinds."""

    def read(self, data: Any, path: Path, reading: Pass, *, name: str = "") -> Any:
        """Return the entry; `name` is the one under which it stands, if it has one."""
        if not isinstance(data, dict):
            raise reading.unusable(path, "keys with their values are needed here, as key: value")
        keys = keys_of(self.kind)
        given = {key: value for key, value in data.items() if not (self.tag and key == "kind")}
        failed = _wrong_keys(keys, given, path, reading)
        values: dict[str, Any] = {"name": name} if name else {}
        for key in keys:
            if key.name not in given or (given[key.name] == UNKNOWN and not key.is_needed):
                continue
            try:
                values[key.attribute] = key.shape.read(
                    given[key.name], (*path, key.name), reading
                )  # fmt: skip
            except Unusable:
                failed = True
        if failed:
            raise Unusable
        return self._whole(values, path, reading)

    def write(self, value: Any) -> dict[str, Any]:
        """Return the keys with what they hold; what was left out is left out again."""
        written: dict[str, Any] = {"kind": self.tag} if self.tag else {}
        for key in keys_of(self.kind):
            held = getattr(value, key.attribute)
            if key.is_needed or held != key.default:
                written[key.name] = key.shape.write(held)
        return written

    def leaves(self, value: Any) -> Iterator[Leaf]:
        """Yield what each key holds."""
        if self.tag:
            yield ("kind",), self.tag, self.tag
        for key in keys_of(self.kind):
            held = getattr(value, key.attribute)
            if key.is_needed or held != key.default:
                for steps, compared, written in key.shape.leaves(held):
                    yield (key.name, *steps), compared, written

    def _whole(self, values: dict[str, Any], path: Path, reading: Pass) -> Any:
        entry = self.kind(**values)
        problems = list(entry.problems()) if hasattr(entry, "problems") else []
        for key, what in problems:
            reading.errors.append(((*path, key) if key else path, what))
        if problems:
            raise Unusable
        return entry


@dataclass(frozen=True, slots=True)
class Kinds(Shape):
    """An entry that is one of several kinds, told by the word under `kind:`."""

    kinds: Mapping[str, type[Any]]

    def read(self, data: Any, path: Path, reading: Pass, *, name: str = "") -> Any:
        """Return the entry of the kind that it says it is."""
        if not isinstance(data, dict):
            raise reading.unusable(path, "keys with their values are needed here, as key: value")
        words = listed(tuple(self.kinds))
        if "kind" not in data:
            raise reading.unusable(path, f"the key “kind” is missing: {words}")
        word = one_text(data["kind"], (*path, "kind"), reading)
        if word not in self.kinds:
            raise reading.unusable((*path, "kind"), f"“{short(word)}” is not {words}")
        return Entry(self.kinds[word], word).read(data, path, reading, name=name)

    def write(self, value: Any) -> dict[str, Any]:
        """Return the kind and the keys."""
        return self._entry(value).write(value)

    def leaves(self, value: Any) -> Iterator[Leaf]:
        """Yield the kind and what each key holds."""
        return self._entry(value).leaves(value)

    def _entry(self, value: Any) -> Entry:
        word = next(word for word, kind in self.kinds.items() if type(value) is kind)
        return Entry(self.kinds[word], word)


@dataclass(frozen=True, slots=True)
class ByName(Shape):
    """Entries that each stand under a name of their own."""

    entry: Entry | Kinds
    section: str
    """What the names are called in messages, and by what they are referred to."""

    most: int = 500

    def read(self, data: Any, path: Path, reading: Pass) -> tuple[Any, ...]:
        """Return the entries in the order of the file."""
        if not isinstance(data, dict):
            raise reading.unusable(path, "names with their entries are needed here, as name: {…}")
        if len(data) > self.most:
            raise reading.unusable(path, f"{len(data)} stand here; at most {self.most} can")
        entries, failed = [], False
        names = reading.names.setdefault(self.section, [])
        for name, entry in data.items():
            here = (*path, name)
            try:
                names.append(a_name(name, here, reading))
                read = self.entry.read(entry, here, reading, name=name)
                reading.entries.setdefault(self.section, {})[name] = read
                entries.append(read)
            except Unusable:
                failed = True
        if failed:
            raise Unusable
        return tuple(entries)

    def write(self, value: tuple[Any, ...]) -> dict[str, Any]:
        """Return the entries by their names."""
        return {one.name: self.entry.write(one) for one in value}

    def leaves(self, value: tuple[Any, ...]) -> Iterator[Leaf]:
        """Yield what each entry holds, under its name."""
        for one in value:
            yield (EntryName(one.name),), "there", "there"
            for steps, compared, written in self.entry.leaves(one):
                yield (EntryName(one.name), *steps), compared, written


def _wrong_keys(keys: tuple[Key, ...], given: Mapping[str, Any], path: Path, reading: Pass) -> bool:
    """Note unknown and missing keys; a misspelt one is one mistake, not two."""
    missing = {key.name: key for key in keys if key.is_needed and key.name not in given}
    known = [key.name for key in keys]
    failed = bool(missing)
    for name in given.keys() - set(known):
        failed = True
        meant = difflib.get_close_matches(name, [k for k in known if k not in given], n=1)
        if meant:
            missing.pop(meant[0], None)
            what = f"the key “{short(name)}” is not known here; did you mean “{meant[0]}”?"
        else:
            what = f"the key “{short(name)}” is not known here; there are {', '.join(known)}"
        reading.errors.append(((*path, name), what))
    for name, key in missing.items():
        reading.errors.append((path, f"the key “{name}” is missing: {key.means}"))
    return failed
