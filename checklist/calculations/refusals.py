"""What is said when an input, or a whole calculation, cannot be taken as it was given."""

from __future__ import annotations

from checklist.errors import StandclearError


class InputRefused(StandclearError):
    """An input is missing, unreadable, out of any sensible range, or contradicts another."""

    def __init__(self, field: str, what: str, *, right: str = "") -> None:
        self.field = field
        """The name of the input, with line and column where it is a cell of rows."""

        super().__init__(what, where=field, right=right)


class UnknownCalculation(StandclearError):
    """There is no calculation of the name that was given."""
