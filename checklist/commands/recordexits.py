"""How a command that checked a record ends; apart from the numbers, which home starts with."""

from __future__ import annotations

from checklist.commands.exits import FINE, NOT_SHOWN, WARNED, WRONG
from checklist.record.verifying.report import Outcome

OF_RECORD = {
    Outcome.HOLDS: FINE,
    Outcome.WARNING: WARNED,
    Outcome.CANNOT_TELL: NOT_SHOWN,
    Outcome.FAILS: WRONG,
}
"""How a command that checked a record ends, by the gravest outcome that it came to."""
