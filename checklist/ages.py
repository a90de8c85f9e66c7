"""How long ago something was, in words short enough for a list."""

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
