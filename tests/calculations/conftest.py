"""The shipped tables, read once for all tests of calculations."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checklist.rulebook import Book, load_book
from checklist.shipped import shipped_rules


@pytest.fixture(scope="session")
def book() -> Book:
    rules = shipped_rules()
    texts = {f"tables/{p.name}": p.read_text("utf-8") for p in (rules / "tables").glob("*.yaml")}
    book = load_book(texts | {"sources.yaml": (rules / "sources.yaml").read_text("utf-8")})
    limits = {f"limits/{p.name}": p.read_text("utf-8") for p in (rules / "limits").glob("*.yaml")}
    return replace(book, limit_texts=limits)
