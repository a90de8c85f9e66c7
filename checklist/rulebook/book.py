"""All tables and sources together, asked by address."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from checklist.errors import StandclearError
from checklist.rulebook.values import Source, Table, Value


@dataclass(frozen=True, slots=True)
class Book:
    """The tables and the bibliography in force."""

    # Not in its repr: a third of a million characters would hide what a failure has to say.
    sources: dict[str, Source] = field(repr=False)
    values: dict[str, Value] = field(repr=False)
    tables: dict[str, Table] = field(repr=False)
    limit_texts: Mapping[str, str] = field(default_factory=dict, repr=False)
    """The shipped sets of exposure limits as they are written, by file name; none in a walk."""

    def value(self, address: str) -> Value:
        """Return the value at `address`; raises StandclearError if there is none."""
        try:
            return self.values[address]
        except KeyError:
            raise StandclearError(f"there is no value “{address}” in rules/tables") from None

    def table(self, address: str) -> Table:
        """Return the table at `address`; raises StandclearError if there is none."""
        try:
            return self.tables[address]
        except KeyError:
            raise StandclearError(f"there is no table “{address}” in rules/tables") from None

    def source(self, source_id: str) -> Source:
        """Return a source by its id; raises StandclearError if it is not in the bibliography."""
        try:
            return self.sources[source_id]
        except KeyError:
            raise StandclearError(f"“{source_id}” is not in rules/sources.yaml") from None
