"""The shipped limits and the numbers of the engine, read once for all tests of exposure."""

from __future__ import annotations

import pytest

from checklist.calculations.exposure import Figures, LimitSet, figures, load_limits
from checklist.rulebook import Book
from checklist.shipped import shipped_rules


@pytest.fixture(scope="session")
def numbers(book: Book) -> Figures:
    return figures(book)


@pytest.fixture(scope="session")
def sets(book: Book) -> dict[str, LimitSet]:
    folder = shipped_rules() / "limits"
    texts = {f"limits/{p.name}": p.read_text("utf-8") for p in sorted(folder.glob("*.yaml"))}
    return load_limits(texts, book.sources)


@pytest.fixture(scope="session")
def fcc(sets: dict[str, LimitSet]) -> LimitSet:
    return sets["fcc-1310"]
