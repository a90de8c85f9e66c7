"""The numbers that the rules at hand rest on, shipped ones and the club's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from checklist.calculations.exposure.limitfile import load_limits
from checklist.calculations.reads import addresses_in
from checklist.calculations.registry import CALCULATIONS
from checklist.rulebook import Book, Cited, Source
from checklist.rulefile.numbers import Number, numbers
from checklist.sessions.library import Library
from checklist.strictyaml import read_yaml

EXPOSURE = "exposure evaluation"

OTHER_READERS = {
    EXPOSURE: ("checklist.calculations.exposure.*",),
    "bonding network": ("checklist.calculations.bonding.network*",),
    "tags and other laptops' logs": ("checklist.walk.seeking",),
    "someone is hurt": ("checklist.emergencies",),
    "printed tags": ("checklist.sessions.tagging.tagpage",),
}
"""What reads published values beside the calculations, in words, and where its code stands."""


@dataclass(frozen=True, slots=True)
class InUse:
    """Every number in use, and what could not be read while looking for its uses."""

    numbers: tuple[Number, ...]
    problems: tuple[str, ...]
    """A sentence for each rule file whose uses are missing."""

    def find(self, text: str) -> tuple[Number, ...]:
        """Return the numbers that hold every word of `text`; without any, those in use."""
        words = text.split()
        if not words:
            return tuple(one for one in self.numbers if one.is_used or one.replaced)
        return tuple(one for one in self.numbers if one.has(words))

    @property
    def left_out(self) -> str:
        """What a list without words says of the values that nothing uses."""
        count = len(self.numbers) - len(self.find(""))
        return f"The tables hold {count} more that nothing here uses: find them by “unused”."


def numbers_in_use(library: Library) -> InUse:
    """Return what every rule file at hand, every calculation and evaluation rests on.

    Raises RulebookRefused or LimitsRefused where a table or a set of limits cannot be read:
    then nothing rests on anything.
    """
    loaded, problems = library.load_all()
    book = loaded[0].book if loaded else library.book()
    others = {name: addresses_in(where, book) for name, where in OTHER_READERS.items()}
    found = numbers(book, [one.rule_file for one in loaded], CALCULATIONS, others)
    return InUse((*found, *_limit_sets(library, book)), problems)


def _limit_sets(library: Library, book: Book) -> list[Number]:
    """Return a number for each table of each set of exposure limits, its bands as rows."""
    shipped, own = library.limit_texts()
    load_limits(shipped, book.sources, own)  # refuses what has not the form that is read below
    return [
        _limit_table(name, data, table, book)
        for name, text in {**shipped, **own}.items()
        for data in [read_yaml(text, name).data]
        for table in data["tables"]
    ]


def _limit_table(name: str, data: dict[str, Any], table: dict[str, Any], book: Book) -> Number:
    source = book.source(table.get("source", data["source"]))
    address = f"{name.removesuffix('.yaml')}, {table['table']}, {table['tier']}"
    means = f"{data['title']}, {data['jurisdiction']}: {table['table']}, {table['tier']} tier"
    averaged = (
        "nothing: it holds at every moment" if table["averaging"] == "none" else table["averaging"]
    )
    rows = tuple(_band(address, means, row, source) for row in table["rows"])
    return Number(
        address, f"{len(rows)} bands, averaged over {averaged}", means, source,
        source.citation(), source.standing, " ".join(data["about"].split()), rows,
        calculations=(EXPOSURE,),
    )  # fmt: skip


def _band(address: str, means: str, row: dict[str, str], source: Source) -> Cited:
    cells = dict(row)
    band = f"{cells.pop('from')} to {cells.pop('to')}"
    value = ", ".join(f"{column} {law}" for column, law in cells.items())
    return Cited(f"{address}/{band}", value, means, source.citation(), source.standing)
