"""Reads `sources.yaml` and `tables/*.yaml` strictly into a Book, all errors at once."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from checklist.errors import StandclearError
from checklist.quantities import UNITS, Quantity
from checklist.rulebook.book import Book
from checklist.rulebook.values import Cited, Row, Source, Standing, Table, Value
from checklist.strictyaml import Document, Path, read_yaml

_SOURCE_KEYS = ({"title", "standing"}, {"edition", "note"})
_TABLE_KEYS = ({"table", "about"}, {"values", "lists"})
_VALUE_KEYS = ({"value", "means", "source"}, {"standing", "note"})
_LIST_KEYS = ({"means", "source", "key", "columns", "rows"}, {"standing", "note"})


class RulebookRefused(StandclearError):
    """One or more errors in sources or tables; the sentence has one line for each."""

    def __init__(self, errors: list[str]) -> None:
        self.errors = errors
        super().__init__("\n".join(errors))


def load_book(texts: Mapping[str, str]) -> Book:
    """Return the Book in `texts` (`sources.yaml` and `tables/NAME.yaml`, name to content).

    Raises RulebookRefused with every error found, each with file, line and column.
    """
    return _Reader().read(texts)


class _Reader:
    def __init__(self) -> None:
        self.errors: list[str] = []
        self.sources: dict[str, Source] = {}
        self.values: dict[str, Value] = {}
        self.tables: dict[str, Table] = {}

    def read(self, texts: Mapping[str, str]) -> Book:
        for name in sorted(texts, key=lambda n: (n != "sources.yaml", n)):
            try:
                document = read_yaml(texts[name], name)
            except StandclearError as error:
                self.errors.append(error.sentence())
                continue
            if name == "sources.yaml":
                self._sources(document)
            else:
                self._table_file(document)
        if self.errors:
            raise RulebookRefused(self.errors)
        return Book(self.sources, self.values, self.tables)

    def _sources(self, doc: Document) -> None:
        for source_id, entry in self._mapping(doc, (), doc.data).items():
            path: Path = (source_id,)
            if self._keys(doc, path, entry, *_SOURCE_KEYS):
                standing = self._standing(doc, path, entry["standing"])
                self.sources[source_id] = Source(
                    source_id, entry["title"], entry.get("edition", ""), standing,
                    entry.get("note", ""),
                )  # fmt: skip

    def _table_file(self, doc: Document) -> None:
        if not self._keys(doc, (), doc.data, *_TABLE_KEYS):
            return
        prefix = doc.data["table"]
        if doc.name != f"tables/{prefix}.yaml":
            self._error(doc, ("table",), f"the table “{prefix}” must stand in {prefix}.yaml")
        for name, entry in self._mapping(doc, ("values",), doc.data.get("values", {})).items():
            self._value(doc, ("values", name), f"{prefix}/{name}", entry)
        for name, entry in self._mapping(doc, ("lists",), doc.data.get("lists", {})).items():
            self._list(doc, ("lists", name), f"{prefix}/{name}", entry)

    def _value(self, doc: Document, path: Path, address: str, entry: Any) -> None:
        if not self._keys(doc, path, entry, *_VALUE_KEYS):
            return
        source = self._source(doc, path, entry)
        quantity = self._quantity(doc, (*path, "value"), entry["value"])
        if source and quantity:
            cited = self._cited(doc, path, address, entry, source, quantity.text())
            self.values[address] = Value(quantity, cited)

    def _list(self, doc: Document, path: Path, address: str, entry: Any) -> None:
        if not self._keys(doc, path, entry, *_LIST_KEYS):
            return
        source = self._source(doc, path, entry)
        columns = self._mapping(doc, (*path, "columns"), entry["columns"])
        for name, symbol in columns.items():
            if symbol not in UNITS:
                self._error(doc, (*path, "columns", name), f"“{symbol}” is not a unit known here")
                return
        if source is None:
            return
        rows = {}
        for key, cells in self._mapping(doc, (*path, "rows"), entry["rows"]).items():
            row = self._row(doc, (*path, "rows", key), columns, cells)
            if row:
                text = ", ".join(f"{n} {q.text()}" for n, q in row.items())
                cited = self._cited(doc, path, f"{address}/{key}", entry, source, text)
                rows[key] = Row(key, row, cited)
        self.tables[address] = Table(address, entry["means"], entry["key"], columns, rows, source)

    def _row(
        self, doc: Document, path: Path, columns: dict[str, str], cells: Any
    ) -> dict[str, Quantity]:
        listed = cells if isinstance(cells, list) else [cells]
        if len(listed) != len(columns):
            self._error(doc, path, f"the row has {len(listed)} cells for {len(columns)} columns")
            return {}
        row = {}
        for (name, symbol), cell in zip(columns.items(), listed, strict=True):
            quantity = self._quantity(doc, path, f"{cell} {symbol}")
            if quantity:
                row[name] = quantity
        return row

    def _cited(
        self, doc: Document, path: Path, address: str, entry: Any, source: Source, value: str
    ) -> Cited:
        """Return the citation; a value may be less certain than its source, never more."""
        standing = source.standing
        if "standing" in entry:
            standing = self._standing(doc, path, entry["standing"])
            unsure = {Standing.MEMORY, Standing.PRACTICE} & {source.standing}
            if unsure and standing not in {Standing.MEMORY, source.standing}:
                self._error(
                    doc, path, f"a value is never surer than its source, which is {source.standing}"
                )
        citation = source.citation()
        if standing is Standing.MEMORY and source.standing is not Standing.MEMORY:
            citation += " (this value from memory: unverified)"
        return Cited(address, value, entry["means"], citation, standing)

    def _quantity(self, doc: Document, path: Path, text: Any) -> Quantity | None:
        number, _, symbol = str(text).partition(" ")
        try:
            quantity = Quantity(Decimal(number), UNITS[symbol])
        except (InvalidOperation, KeyError):
            quantity = None
        if quantity is None or not quantity.value.is_finite():
            self._error(doc, path, f"“{text}” is not a number and a unit known here, as 20 ft")
            return None
        return quantity

    def _source(self, doc: Document, path: Path, entry: Any) -> Source | None:
        found = self.sources.get(entry["source"])
        if found is None:
            self._error(
                doc, (*path, "source"), f"the source “{entry['source']}” is not in sources.yaml"
            )
        return found

    def _standing(self, doc: Document, path: Path, text: str) -> Standing:
        try:
            return Standing(text)
        except ValueError:
            known = ", ".join(Standing)
            self._error(doc, (*path, "standing"), f"“{text}” is not a standing; there are {known}")
            return Standing.MEMORY

    def _mapping(self, doc: Document, path: Path, data: Any) -> dict[str, Any]:
        if isinstance(data, dict):
            return data
        self._error(doc, path, "names and their values are needed here")
        return {}

    def _keys(
        self, doc: Document, path: Path, entry: Any, needed: set[str], allowed: set[str]
    ) -> bool:
        if not isinstance(entry, dict):
            self._error(doc, path, f"the keys {', '.join(sorted(needed))} are needed here")
            return False
        for key in entry.keys() - needed - allowed:
            self._error(doc, (*path, key), f"the key “{key}” is not known here")
        texts = (needed | allowed) - {"values", "lists", "columns", "rows"}
        not_text = sorted(k for k in texts & entry.keys() if not isinstance(entry[k], str))
        for key in not_text:
            self._error(doc, (*path, key), f"the key “{key}” needs a plain text")
        missing = needed - entry.keys()
        for key in sorted(missing):
            self._error(doc, path, f"the key “{key}” is missing")
        return not missing and not not_text

    def _error(self, doc: Document, path: Path, what: str) -> None:
        self.errors.append(f"{doc.where(path)}: {what}.")
