"""The published values that everything is judged by, each with its citation.

A limit or table value stands once, in `rules/tables`, and is read from there by its
address (`generator/carbon-monoxide-distance`); its source stands in `rules/sources.yaml`.
"""

from checklist.rulebook.book import Book
from checklist.rulebook.club import CLUB_PREFIX
from checklist.rulebook.loader import RulebookRefused, load_book
from checklist.rulebook.values import (
    Cited,
    Replaced,
    Row,
    Source,
    Standing,
    Stricter,
    Strictness,
    Table,
    Value,
    bare,
)

__all__ = [
    "CLUB_PREFIX",
    "Book",
    "Cited",
    "Replaced",
    "Row",
    "RulebookRefused",
    "Source",
    "Standing",
    "Stricter",
    "Strictness",
    "Table",
    "Value",
    "bare",
    "load_book",
]
