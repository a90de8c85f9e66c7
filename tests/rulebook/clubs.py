"""An invented club's own values, as texts and as files beside a log folder."""

from __future__ import annotations

from pathlib import Path

from checklist.rulebook import Book, load_book
from checklist.shipped import shipped_rules

SOURCES = """\
ridge-minutes:
  title: Ridge Hollow club, minutes of the safety meeting, item 4
  edition: "2026-11-20"
  standing: read
ridge-recalled:
  title: Ridge Hollow club, what was said at the bench
  standing: from memory
"""

NOTE = "decided by Wren Holloway, 2026-11-20"
"""The end of what is said of every value below."""


def overlay(address: str, value: str, *, source: str = "ridge-minutes", key: str = "value") -> str:
    """Return one entry that puts `value` in the place of what stands at `address`."""
    return (
        f"  - replaces: {address}\n    {key}: {value}\n    source: {source}\n"
        "    decided-by: Wren Holloway\n    decided: 2026-11-20\n"
    )


def table(*overlays: str, name: str = "ridge-hollow") -> str:
    """Return a club table of these entries."""
    return f"table: {name}\nabout: What an invented club holds to.\noverlays:\n{''.join(overlays)}"


def texts(*overlays: str) -> dict[str, str]:
    """Return the shipped texts with a club's beside them."""
    rules = shipped_rules()
    shipped = {f"tables/{p.name}": p.read_text("utf-8") for p in (rules / "tables").glob("*.yaml")}
    return shipped | {
        "sources.yaml": (rules / "sources.yaml").read_text("utf-8"),
        "club-rules/sources.yaml": SOURCES,
        "club-rules/tables/ridge-hollow.yaml": table(*overlays),
    }


def book_with(*overlays: str) -> Book:
    """Return the shipped book with these entries laid over it."""
    found = texts(*overlays)
    if not overlays:
        del found["club-rules/tables/ridge-hollow.yaml"]
    return load_book(found)


def lay(beside: Path, *overlays: str) -> Path:
    """Write the club's sources and table into `club-rules` in the folder `beside`."""
    tables = beside / "club-rules" / "tables"
    tables.mkdir(parents=True, exist_ok=True)
    (tables.parent / "sources.yaml").write_text(SOURCES, encoding="utf-8")
    path = tables / "ridge-hollow.yaml"
    path.write_text(table(*overlays), encoding="utf-8")
    return path
