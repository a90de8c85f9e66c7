"""Reads the entries of tables and bibliographies strictly, and gathers what is wrong in them."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Any

from checklist.quantities import UNITS, Quantity
from checklist.rulebook.values import Cited, Source, Standing
from checklist.strictyaml import Document, Path

_NO_TEXTS = {"values", "lists", "overlays", "columns", "rows", "row"}
"""Keys under which something else than one plain text stands."""


class Entries:
    """Knows the sources read so far; `errors` holds a sentence for everything wrong."""

    def __init__(self) -> None:
        self.errors: list[str] = []
        self.sources: dict[str, Source] = {}

    def cited(
        self, doc: Document, path: Path, address: str, entry: Any, source: Source, value: str
    ) -> Cited:
        """Return the citation; a value may be less certain than its source, never more."""
        standing = source.standing
        if "standing" in entry:
            standing = self.standing(doc, path, entry["standing"])
            unsure = {Standing.MEMORY, Standing.PRACTICE} & {source.standing}
            if unsure and standing not in {Standing.MEMORY, source.standing}:
                self.error(
                    doc, path, f"a value is never surer than its source, which is {source.standing}"
                )
        citation = source.citation()
        if standing is Standing.MEMORY and source.standing is not Standing.MEMORY:
            citation += " (this value from memory: unverified)"
        return Cited(address, value, entry.get("means", ""), citation, standing)

    def row(
        self, doc: Document, path: Path, columns: dict[str, str], cells: Any
    ) -> dict[str, Quantity]:
        """Return the cells of one row by their columns; none where they do not fit."""
        listed = cells if isinstance(cells, list) else [cells]
        if len(listed) != len(columns):
            self.error(doc, path, f"the row has {len(listed)} cells for {len(columns)} columns")
            return {}
        row = {}
        for (name, symbol), cell in zip(columns.items(), listed, strict=True):
            quantity = self.quantity(doc, path, f"{cell} {symbol}")
            if quantity:
                row[name] = quantity
        return row

    def quantity(self, doc: Document, path: Path, text: Any) -> Quantity | None:
        """Return the number and unit in `text`, or None and an error."""
        number, _, symbol = str(text).partition(" ")
        try:
            quantity = Quantity(Decimal(number), UNITS[symbol])
        except (InvalidOperation, KeyError):
            quantity = None
        if quantity is None or not quantity.value.is_finite():
            self.error(doc, path, f"“{text}” is not a number and a unit known here, as 20 ft")
            return None
        return quantity

    def source(self, doc: Document, path: Path, entry: Any) -> Source | None:
        """Return the source that an entry names, or None and an error."""
        found = self.sources.get(entry["source"])
        if found is None:
            self.error(
                doc, (*path, "source"), f"the source “{entry['source']}” is not in sources.yaml"
            )
        return found

    def standing(self, doc: Document, path: Path, text: str) -> Standing:
        """Return the standing of that name; from memory, the least, where there is none."""
        try:
            return Standing(text)
        except ValueError:
            known = ", ".join(Standing)
            self.error(doc, (*path, "standing"), f"“{text}” is not a standing; there are {known}")
            return Standing.MEMORY

    def one_of(self, doc: Document, path: Path, text: str, known: tuple[str, ...]) -> str:
        """Return `text` where it is one of `known`, otherwise an empty text and an error."""
        if text in known:
            return text
        self.error(doc, path, f"“{text}” is not one of {', '.join(known)}")
        return ""

    def mapping(self, doc: Document, path: Path, data: Any) -> dict[str, Any]:
        """Return names and what stands under them; none where it is something else."""
        if isinstance(data, dict):
            return data
        self.error(doc, path, "names and their values are needed here")
        return {}

    def keys(
        self, doc: Document, path: Path, entry: Any, needed: set[str], allowed: set[str]
    ) -> bool:
        """Say whether an entry has the keys it needs, each a plain text where it must be one."""
        if not isinstance(entry, dict):
            self.error(doc, path, f"the keys {', '.join(sorted(needed))} are needed here")
            return False
        for key in entry.keys() - needed - allowed:
            self.error(doc, (*path, key), f"the key “{key}” is not known here")
        texts = (needed | allowed) - _NO_TEXTS
        not_text = sorted(k for k in texts & entry.keys() if not isinstance(entry[k], str))
        for key in not_text:
            self.error(doc, (*path, key), f"the key “{key}” needs a plain text")
        missing = needed - entry.keys()
        for key in sorted(missing):
            self.error(doc, path, f"the key “{key}” is missing")
        return not missing and not not_text

    def error(self, doc: Document, path: Path, what: str) -> None:
        """Keep one sentence with its place."""
        self.errors.append(f"{doc.where(path)}: {what}.")
