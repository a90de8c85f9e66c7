"""Reads sources and tables strictly into a Book, shipped ones and a club's, all errors at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checklist.errors import StandclearError
from checklist.quantities import UNITS
from checklist.rulebook.book import Book
from checklist.rulebook.club import CLUB_PREFIX, overlay
from checklist.rulebook.entries import Entries
from checklist.rulebook.values import Row, Source, Stricter, Table, Value
from checklist.strictyaml import Document, Path, read_yaml

_SOURCE_KEYS = ({"title", "standing"}, {"edition", "note"})
_TABLE_KEYS = ({"table", "about"}, {"values", "lists"})
_CLUB_TABLE_KEYS = ({"table", "about"}, {"values", "lists", "overlays"})
_VALUE_KEYS = ({"value", "means", "source"}, {"standing", "note", "stricter"})
_LIST_KEYS = ({"means", "source", "key", "columns", "rows"}, {"standing", "note", "stricter"})


class RulebookRefused(StandclearError):
    """One or more errors in sources or tables; the sentence has one line for each."""

    def __init__(self, errors: list[str]) -> None:
        self.errors = errors
        super().__init__("\n".join(errors))


def load_book(texts: Mapping[str, str]) -> Book:
    """Return the Book in `texts`, name to content.

    The names are `sources.yaml` and `tables/NAME.yaml`, and the same below `club-rules/` for
    what a club adds or puts in the place of a shipped value. Raises RulebookRefused with
    every error found, each with file, line and column.
    """
    return _Reader().read(texts)


def _order(name: str) -> tuple[bool, bool, str]:
    """Shipped before the club's, and sources before the tables that name them."""
    return name.startswith(CLUB_PREFIX), not name.endswith("sources.yaml"), name


class _Reader:
    def __init__(self) -> None:
        self.entries = Entries()
        self.values: dict[str, Value] = {}
        self.tables: dict[str, Table] = {}
        self.files: set[str] = set()
        self.own: set[str] = set()

    def read(self, texts: Mapping[str, str]) -> Book:
        for name in sorted(texts, key=_order):
            try:
                document = read_yaml(texts[name], name)
            except StandclearError as error:
                self.entries.errors.append(error.sentence())
                continue
            if name in {"sources.yaml", f"{CLUB_PREFIX}sources.yaml"}:
                self._sources(document)
            else:
                self._table_file(document)
        if self.entries.errors:
            raise RulebookRefused(self.entries.errors)
        return Book(self.entries.sources, self.values, self.tables)

    def _sources(self, doc: Document) -> None:
        known = self.entries.sources
        for source_id, entry in self.entries.mapping(doc, (), doc.data).items():
            path: Path = (source_id,)
            if not self.entries.keys(doc, path, entry, *_SOURCE_KEYS):
                continue
            standing = self.entries.standing(doc, path, entry["standing"])
            if source_id in known:
                self.entries.error(doc, path, f"a shipped source is named “{source_id}” too")
                continue
            known[source_id] = Source(
                source_id, entry["title"], entry.get("edition", ""), standing,
                entry.get("note", ""),
            )  # fmt: skip

    def _table_file(self, doc: Document) -> None:
        is_club = doc.name.startswith(CLUB_PREFIX)
        keys = _CLUB_TABLE_KEYS if is_club else _TABLE_KEYS
        if not self.entries.keys(doc, (), doc.data, *keys):
            return
        prefix = doc.data["table"]
        if doc.name.removeprefix(CLUB_PREFIX) != f"tables/{prefix}.yaml":
            self.entries.error(doc, ("table",), f"the table “{prefix}” must stand in {prefix}.yaml")
        if prefix in self.files:
            self.entries.error(doc, ("table",), f"another table is named “{prefix}” too")
            return
        self.files.add(prefix)
        values = self.entries.mapping(doc, ("values",), doc.data.get("values", {}))
        for name, entry in values.items():
            self._value(doc, ("values", name), f"{prefix}/{name}", entry)
        lists = self.entries.mapping(doc, ("lists",), doc.data.get("lists", {}))
        for name, entry in lists.items():
            self._list(doc, ("lists", name), f"{prefix}/{name}", entry)
        if is_club:
            self.own.add(prefix)
            overlay(doc, self.entries, self.own, self.values, self.tables)

    def _value(self, doc: Document, path: Path, address: str, entry: Any) -> None:
        if not self.entries.keys(doc, path, entry, *_VALUE_KEYS):
            return
        source = self.entries.source(doc, path, entry)
        quantity = self.entries.quantity(doc, (*path, "value"), entry["value"])
        if source and quantity:
            cited = self.entries.cited(doc, path, address, entry, source, quantity.text())
            stricter = self._stricter(doc, path, entry)
            self.values[address] = Value(quantity, cited, source, entry.get("note", ""), stricter)

    def _list(self, doc: Document, path: Path, address: str, entry: Any) -> None:
        if not self.entries.keys(doc, path, entry, *_LIST_KEYS):
            return
        source = self.entries.source(doc, path, entry)
        columns = self.entries.mapping(doc, (*path, "columns"), entry["columns"])
        for name, symbol in columns.items():
            if symbol not in UNITS:
                self.entries.error(
                    doc, (*path, "columns", name), f"“{symbol}” is not a unit known here"
                )
                return
        if source is None:
            return
        rows = {}
        for key, cells in self.entries.mapping(doc, (*path, "rows"), entry["rows"]).items():
            row = self.entries.row(doc, (*path, "rows", key), columns, cells)
            if row:
                text = ", ".join(f"{n} {q.text()}" for n, q in row.items())
                cited = self.entries.cited(doc, path, f"{address}/{key}", entry, source, text)
                rows[key] = Row(key, row, cited)
        self.tables[address] = Table(
            address, entry["means"], entry["key"], columns, rows, source,
            entry.get("note", ""), self._stricter(doc, path, entry),
        )  # fmt: skip

    def _stricter(self, doc: Document, path: Path, entry: Any) -> Stricter | None:
        if "stricter" not in entry:
            return None
        text = self.entries.one_of(doc, (*path, "stricter"), entry["stricter"], tuple(Stricter))
        return Stricter(text) if text else None
