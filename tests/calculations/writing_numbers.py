"""Writes the manual's page on the numbers anew: python -m tests.calculations.writing_numbers."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path
from typing import Any

from checklist.calculations import CALCULATIONS
from checklist.calculations.fromstation import BONDING, EXPOSURE
from checklist.calculations.numberspage import Checked, numbers_page
from checklist.calculations.reads import addresses_in, addresses_read
from checklist.rulebook import Book, load_book
from checklist.shipped import shipped_rules
from checklist.strictyaml import read_yaml

PAGE = Path(__file__).parents[2] / "checklist" / "manual" / "numbers.md"
_HERE = Path(__file__).parent
_CASES = (*sorted((_HERE / "published").glob("*.yaml")),
          _HERE / "exposure" / "published" / "exposure.yaml")  # fmt: skip
_SERIES = {"DEN": "power-density", "EXM": "exposure-exemption"}
"""The cases of exposure that one calculation of its own is held against as well."""

_NEAR_FIELD = _HERE / "exposure" / "published" / "near-field.json"
_OWN = "input rule"
"""Of a refusal that is a rule of this program: it holds the program against nothing printed."""

_SUREST = ("from memory", "second-hand", "computed", "rule", "read")


def shipped_book() -> Book:
    """Return the shipped values alone."""
    rules = shipped_rules()
    texts = {f"tables/{p.name}": p.read_text("utf-8") for p in (rules / "tables").glob("*.yaml")}
    book = load_book(texts | {"sources.yaml": (rules / "sources.yaml").read_text("utf-8")})
    limits = {f"limits/{p.name}": p.read_text("utf-8") for p in (rules / "limits").glob("*.yaml")}
    return replace(book, limit_texts=limits)


def checked_against(book: Book) -> dict[str, tuple[Checked, ...]]:
    """Return the documents that each calculation, and the tables it reads, are held against."""
    cases = [
        c for path in _CASES for c in read_yaml(path.read_text("utf-8"), path.name).data["cases"]
    ]
    reads = {name: addresses_read(one, book) for name, one in CALCULATIONS.items()}
    found = {
        name: _counted([c for c in cases if _is_about(c, name, reads[name])]) for name in reads
    }
    engine = read_yaml(_CASES[-1].read_text("utf-8"), _CASES[-1].name).data["cases"]
    found[EXPOSURE.name] = (*_near_field(), *_counted(engine))
    network = addresses_in(BONDING.where, book)
    found[BONDING.name] = _counted([c for c in cases if _is_about(c, BONDING.name, network)])
    return found


def _counted(cases: list[dict[str, Any]]) -> tuple[Checked, ...]:
    documents = dict.fromkeys(d for case in cases if (d := _document(case)) != _OWN)
    return tuple(
        Checked(document, len(those), _least_sure(those))
        for document in documents
        if (those := [case for case in cases if _document(case) == document])
    )


def _near_field() -> tuple[Checked, ...]:
    """Return the reference solutions: antennas and points, E and H of each."""
    data = json.loads(_NEAR_FIELD.read_text("utf-8"))
    worst = max(case["tolerance_dB"] for case in data["cases"])
    document = f"{data['document']}: E and H within {worst:g} dB of another method and other code"
    return (Checked(document, len(data["cases"]), "computed"),)


def _is_about(case: dict[str, Any], name: str, reads: Collection[str]) -> bool:
    table = case.get("table") or case.get("range")
    series = _SERIES.get(case["id"].split("-")[0])
    return bool(case.get("calculation") == name or series == name or (table and table in reads))


def _document(case: dict[str, Any]) -> str:
    """Return the document of a case: its source, or what its id names before the row."""
    text = str(case.get("source") or case["id"])
    return text if "source" in case else text.split(",")[0]


def _least_sure(cases: list[dict[str, Any]]) -> str:
    words = {str(case["standing"]) for case in cases}
    ranked = sorted(
        words, key=lambda w: next((i for i, s in enumerate(_SUREST) if w.startswith(s)), 0)
    )
    return ranked[0]


def page() -> str:
    """Return the page as it must stand."""
    book = shipped_book()
    return numbers_page(book, checked_against(book))


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8")
