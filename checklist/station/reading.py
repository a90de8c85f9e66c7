"""What is kept while a station file is read: its errors, its names, and what refers to them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any

from checklist.strictyaml import Document, Path

Wrong = tuple[Path, str]
"""Where, and what is wrong there, with what would be right."""


class Unusable(Exception):
    """A value cannot be used; the errors in it have been noted."""


@dataclass(frozen=True, slots=True)
class Known:
    """Names that stand outside the station file; None where they cannot be checked."""

    limit_sets: Collection[str] | None = None
    """Ids of the limit sets in rules/limits and in the club's folder."""

    cables: Collection[str] | None = None
    """Kinds of feed line whose attenuation is in a table."""

    modes: Collection[str] | None = None
    """Modes whose duty factor is in a table."""


@dataclass(frozen=True, slots=True)
class Reference:
    """A name that must stand in one of some sections."""

    path: Path
    sections: tuple[str, ...]
    name: str


@dataclass(slots=True)
class Pass:
    """One reading of one document."""

    document: Document
    known: Known = field(default_factory=Known)
    errors: list[Wrong] = field(default_factory=list)
    names: dict[str, list[str]] = field(default_factory=dict)
    """Every name that a section holds, also where the rest of its entry is wrong."""

    references: list[Reference] = field(default_factory=list)
    entries: dict[str, dict[str, Any]] = field(default_factory=dict)
    """Every entry that could be read, by section and name."""

    def unusable(self, path: Path, what: str) -> Unusable:
        """Note an error and return what is to be raised for it."""
        self.errors.append((path, what))
        return Unusable()

    def resolve(self) -> None:
        """Note an error for each reference to a name that is nowhere."""
        for reference in self.references:
            names = [n for section in reference.sections for n in self.names.get(section, ())]
            if reference.name not in names:
                there = f"there are {', '.join(names)}" if names else "there are none"
                sections = " or ".join(reference.sections)
                self.errors.append(
                    (reference.path, f"“{reference.name}” is not among the {sections}; {there}")
                )

    def sentences(self) -> list[str]:
        """Return all errors in the order of the file, each with file, line and column."""
        ordered = sorted(self.errors, key=lambda wrong: self._place(wrong[0]))
        return [
            f"{self.document.where(path)}: {what if what.endswith(('.', '?')) else what + '.'}"
            for path, what in ordered
        ]

    def _place(self, path: Path) -> tuple[int, int]:
        for end in range(len(path), -1, -1):
            found = self.document.places.get(path[:end])
            if found:
                return found.line, found.column
        return 0, 0
