"""The published values that everything is judged by, each with its citation.

A limit or table value stands once, in `rules/tables`, and is read from there by its
address (`generator/carbon-monoxide-distance`); its source stands in `rules/sources.yaml`.
"""

from checklist.rulebook.book import Book
from checklist.rulebook.loader import RulebookRefused, load_book
from checklist.rulebook.values import Cited, Row, Source, Standing, Table, Value

__all__ = [
    "Book",
    "Cited",
    "Row",
    "RulebookRefused",
    "Source",
    "Standing",
    "Table",
    "Value",
    "load_book",
]
