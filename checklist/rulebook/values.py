"""What a table holds: values and rows, each with its citation and how far it is trusted."""

from __future__ import annotations

from dataclasses import dataclass
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

    @property
    def is_unverified(self) -> bool:
        """Whether it was written from memory and so never gives more than a caution."""
        return self.standing is Standing.MEMORY


@dataclass(frozen=True, slots=True)
class Value:
    """One named quantity of a table."""

    quantity: Quantity
    cited: Cited


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
