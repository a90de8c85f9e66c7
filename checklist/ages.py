"""A day, and how long something took or is ago, in words short enough for a list."""

from __future__ import annotations

from datetime import datetime, timedelta


def age_text(since: datetime, now: datetime) -> str:
    """Return the age in the largest fitting unit, rounded down: `20 min`, `26 h`, `3 days`.

    A time that lies ahead has the age zero: a clock was set back.
    """
    age = max(now - since, timedelta(0))
    if age < timedelta(hours=1):
        return f"{int(age.total_seconds() // 60)} min"
    if age < timedelta(days=2):
        return f"{int(age.total_seconds() // 3600)} h"
    return f"{age.days} days"


def span_text(seconds: float) -> str:
    """Return a length of time in the units that fit: `4.2 s`, `67 min 0 s`, `26 h 5 min`.

    Days begin at two of them, hours at two hours, so that little is lost by leaving the rest out.
    """
    if seconds < 59.95:
        return f"{seconds:.3g} s"
    whole = round(seconds)
    for size, unit, part, rest in ((86400, "days", 3600, "h"), (3600, "h", 60, "min")):
        if whole >= 2 * size:
            return f"{whole // size} {unit} {whole % size // part} {rest}"
    return f"{whole // 60} min {whole % 60} s"


def day_text(at: datetime, now: datetime) -> str:
    """Return a day as `12 Nov`, with its year where that is not this year."""
    return f"{at.day} {at:%b}" if at.year == now.year else f"{at.day} {at:%b} {at.year}"
