"""The one base class of everything that standclear says went wrong."""

from __future__ import annotations


class StandclearError(Exception):
    """One clear sentence for a person: what is wrong, where, and what would be right."""

    def __init__(self, what: str, *, where: str = "", right: str = "") -> None:
        self.what = what
        self.where = where
        self.right = right
        super().__init__(self.sentence())

    def sentence(self) -> str:
        """Return the whole message, `where` first and `right` last, on one line."""
        said = f"{self.where}: {self.what}" if self.where else self.what
        return f"{said.rstrip('.')}. {self.right}".strip() if self.right else said
