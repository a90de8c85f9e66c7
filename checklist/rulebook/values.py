"""What a table holds: values and rows, each with its citation and how far it is trusted."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import StrEnum

from checklist.errors import StandclearError
from checklist.quantities import Quantity


class Standing(StrEnum):
    """How the people who wrote a value down came to know it."""

    READ = "read"
    """Read in a copy of the source."""

    COMPUTED = "computed"
    """Worked out from something read; the note says how."""

    MEMORY = "from memory"
    """Not confirmed in the document: shown as unverified, and never more than a caution."""

    PRACTICE = "common practice"
    """Common practice of the trade; no source."""


@dataclass(frozen=True, slots=True)
class Source:
    """One entry of the bibliography."""

    id: str
    title: str
    """Document and section, as one would ask for it."""

    edition: str
    """Edition or date; empty for common practice."""

    standing: Standing
    note: str = ""

    def citation(self) -> str:
        """Return the source in one line, with `unverified` or `no source` where that holds."""
        text = f"{self.title}, {self.edition}" if self.edition else self.title
        if self.standing is Standing.MEMORY:
            return f"{text} (from memory: unverified)"
        if self.standing is Standing.PRACTICE and "no source" not in text:
            return f"{text} (common practice, no source)"
        return text


class Stricter(StrEnum):
    """Which way a value is stricter, where that is the same wherever it is used."""

    HIGHER = "higher"
    LOWER = "lower"


class Strictness(StrEnum):
    """How a club's own value stands to the shipped one that it took the place of."""

    STRICTER = "stricter"
    SAME = "the same"
    LAXER = "laxer"
    UNTOLD = "not shown to be as strict"
    """Nothing says which way is stricter: taken as laxer."""


def strictness(club: Quantity, shipped: Quantity, stricter: Stricter | None) -> Strictness:
    """Return how `club` stands to `shipped`, both of one dimension, compared unrounded."""
    if club.si == shipped.si:
        return Strictness.SAME
    if stricter is None:
        return Strictness.UNTOLD
    is_stricter = (club.si > shipped.si) is (stricter is Stricter.HIGHER)
    return Strictness.STRICTER if is_stricter else Strictness.LAXER


@dataclass(frozen=True, slots=True)
class Replaced:
    """The shipped value that a club's own took the place of, and by whose decision."""

    value: str
    """The shipped value in its source's own unit, as text."""

    citation: str
    """The citation of the shipped value."""

    strictness: Strictness
    decided_by: str
    decided: str
    """The day of the decision, as ISO date."""


@dataclass(frozen=True, slots=True)
class Cited:
    """One value as it was used for a judgement: enough to read it a year later."""

    address: str
    """`table/name`, or `table/name/row`; in a rule file, `step/…` for the file's own limit."""

    value: str
    """The value in its source's own unit, as text."""

    means: str
    citation: str
    standing: Standing
    replaced: Replaced | None = None
    """What it took the place of, where it is a club's own value; None for a shipped one."""

    @property
    def is_unverified(self) -> bool:
        """Whether it was written from memory and so never gives more than a caution."""
        return self.standing is Standing.MEMORY

    @property
    def is_eased(self) -> bool:
        """Whether it is a club's value that is not shown to be as strict as the shipped one."""
        return self.replaced is not None and self.replaced.strictness in {
            Strictness.LAXER,
            Strictness.UNTOLD,
        }

    @property
    def club_note(self) -> str:
        """`club value 25 ft instead of 20 ft (stricter), …`; empty for a shipped value."""
        if self.replaced is None:
            return ""
        old = self.replaced
        return (
            f"club value {bare(self.value)} instead of {bare(old.value)} ({old.strictness}), "
            f"decided by {old.decided_by}, {old.decided}"
        )


def bare(value: str) -> str:
    """Return a value as text without the unit of a plain ratio: `1.5` for `1.5 1`."""
    return re.sub(r"(?<=\d) 1(?=,|$)", "", value)


@dataclass(frozen=True, slots=True)
class Value:
    """One named quantity of a table."""

    quantity: Quantity
    cited: Cited
    source: Source
    note: str = ""
    stricter: Stricter | None = None
    shipped: Quantity | None = None
    """What stood here before a club's own value; None where that is shipped, or all new."""

    def cited_as(self, stricter: Stricter) -> Cited:
        """Return the citation for a use in which it is known which way is stricter."""
        replaced = self.cited.replaced
        if replaced is None or self.shipped is None:
            return self.cited
        found = strictness(self.quantity, self.shipped, stricter)
        return replace(self.cited, replaced=replace(replaced, strictness=found))


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its key as printed and a quantity for each column."""

    key: str
    cells: dict[str, Quantity]
    cited: Cited

    def __getitem__(self, column: str) -> Quantity:
        return self.cells[column]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows in the order of the source, looked up by their key, or as upper ends of ranges."""

    address: str
    means: str
    key: str
    """What the keys are, for messages: `AWG`."""

    columns: dict[str, str]
    """Column name to unit symbol."""

    rows: dict[str, Row]
    """By key; for a table of ranges the key is the upper end, inclusive, as `50 kV`."""

    source: Source
    note: str = ""
    stricter: Stricter | None = None

    def row(self, key: str) -> Row:
        """Return the row for `key`; raises StandclearError naming the keys there are."""
        found = self.rows.get(key)
        if found is None:
            raise StandclearError(
                f"“{key}” has no row in the table {self.address}",
                right=f"It has rows for {self.key}: {', '.join(self.rows)}.",
            )
        return found

    def up_to(self, quantity: Quantity) -> Row | None:
        """Return the first row whose key, an inclusive upper end, is not below `quantity`.

        None above the last row: there the source says nothing, and nothing is extrapolated.
        """
        for key, row in self.rows.items():
            number, unit = key.split(" ", 1)
            if quantity <= Quantity.of(number, unit):
                return row
        return None
