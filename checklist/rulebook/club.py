"""A club's own values in the place of shipped ones: by whose decision, and stricter or laxer."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

from checklist.quantities import Quantity
from checklist.rulebook.entries import Entries
from checklist.rulebook.values import (
    Cited,
    Replaced,
    Row,
    Source,
    Strictness,
    Table,
    Value,
    strictness,
)
from checklist.strictyaml import Document, Path

CLUB_PREFIX = "club-rules/"
"""What the names of a club's own texts begin with."""

FARTHEST = 10
"""How many times larger or smaller than the shipped value a club's may be; beyond is a slip."""

_OVERLAY_KEYS = (
    {"replaces", "source", "decided-by", "decided"},
    {"value", "row", "standing", "note"},
)


def overlay(
    doc: Document, entries: Entries, own: Collection[str],
    values: dict[str, Value], tables: dict[str, Table],
) -> None:  # fmt: skip
    """Put the overlays of one club table in the place of what they name.

    `own` are the club's own tables, which nothing is laid over. Errors go to
    `entries`; nothing is replaced by an entry that has one.
    """
    listed = doc.data.get("overlays", [])
    if not isinstance(listed, list):
        entries.error(doc, ("overlays",), "a list is needed here, each with what it replaces")
        return
    for i, entry in enumerate(listed):
        path: Path = ("overlays", i)
        if not entries.keys(doc, path, entry, *_OVERLAY_KEYS):
            continue
        if ("value" in entry) == ("row" in entry):
            entries.error(doc, path, "exactly one of value: and row: is needed here")
            continue
        if entry["replaces"].partition("/")[0] in own:
            entries.error(doc, (*path, "replaces"), "this is a club's own value; change it there")
            continue
        source = entries.source(doc, path, entry)
        if not _is_day(entry["decided"]):
            entries.error(doc, (*path, "decided"), "a day is needed here, as 2026-11-25")
        elif source is not None and "value" in entry:
            _value(doc, path, entry, source, entries, values)
        elif source is not None:
            _row(doc, path, entry, source, entries, tables)


def _value(
    doc: Document, path: Path, entry: Any, source: Source, entries: Entries,
    values: dict[str, Value],
) -> None:  # fmt: skip
    address = entry["replaces"]
    old = values.get(address)
    if old is None or _is_clubs(old.cited, doc, path, entries):
        if old is None:
            says = f"there is no value “{address}” in the shipped tables"
            entries.error(doc, (*path, "replaces"), says)
        return
    quantity = entries.quantity(doc, (*path, "value"), entry["value"])
    if quantity is None or not _fits(doc, (*path, "value"), quantity, old.quantity, entries):
        return
    found = strictness(quantity, old.quantity, old.stricter)
    cited = _cited(doc, path, entry, source, entries, old.cited, quantity.text(), found)
    note = entry.get("note", "")
    values[address] = Value(quantity, cited, source, note, old.stricter, old.quantity)


def _row(
    doc: Document, path: Path, entry: Any, source: Source, entries: Entries,
    tables: dict[str, Table],
) -> None:  # fmt: skip
    table, key = _row_named(entry["replaces"], tables)
    if table is None:
        entries.error(
            doc,
            (*path, "replaces"),
            f"there is no row “{entry['replaces']}” in the shipped tables; write table/list/row",
        )
        return
    old = table.rows[key]
    if _is_clubs(old.cited, doc, path, entries):
        return
    where = (*path, "row")
    cells = entries.row(doc, where, table.columns, entry["row"])
    if len(cells) != len(table.columns) or not all(
        _fits(doc, where, cell, old[name], entries) for name, cell in cells.items()
    ):
        return
    found = _strictest_doubt(
        [strictness(cell, old[name], table.stricter) for name, cell in cells.items()]
    )
    text = ", ".join(f"{name} {cell.text()}" for name, cell in cells.items())
    cited = _cited(doc, path, entry, source, entries, old.cited, text, found)
    table.rows[key] = Row(key, cells, cited)


def _row_named(address: str, tables: dict[str, Table]) -> tuple[Table | None, str]:
    """Return the table and the key of a row; a key may hold a slash, as 1/0 AWG does."""
    for table in tables.values():
        key = address.removeprefix(f"{table.address}/")
        if key != address and key in table.rows:
            return table, key
    return None, ""


def _strictest_doubt(found: Sequence[Strictness]) -> Strictness:
    """Return how a row stands as a whole: its laxest cell decides."""
    order = (Strictness.LAXER, Strictness.UNTOLD, Strictness.STRICTER, Strictness.SAME)
    return next(one for one in order if one in found)


def _cited(
    doc: Document, path: Path, entry: Any, source: Source, entries: Entries,
    old: Cited, value: str, found: Strictness,
) -> Cited:  # fmt: skip
    cited = entries.cited(doc, path, old.address, entry, source, value)
    replaced = Replaced(old.value, old.citation, found, entry["decided-by"], entry["decided"])
    return replace(cited, means=old.means, replaced=replaced)


def _is_clubs(old: Cited, doc: Document, path: Path, entries: Entries) -> bool:
    """Say whether a club's value stands there already, which is an error."""
    if old.replaced is not None:
        entries.error(doc, (*path, "replaces"), f"“{old.address}” is replaced twice")
    return old.replaced is not None


def _fits(doc: Document, path: Path, club: Quantity, shipped: Quantity, entries: Entries) -> bool:
    """Say whether a club's value can be meant in the place of the shipped one."""
    said = shipped.text()
    if club.unit.dimension != shipped.unit.dimension:
        wanted = shipped.unit.dimension
        entries.error(doc, path, f"“{club.text()}” is not a {wanted}; the shipped value is {said}")
        return False
    if shipped.value and not Fraction(1, FARTHEST) <= club.si / shipped.si <= FARTHEST:
        entries.error(
            doc, path,
            f"“{club.text()}” is more than {FARTHEST} times off the shipped {said}, as a slip is",
        )  # fmt: skip
        return False
    return True


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
