"""Holds what an audit found of an invented club against the plan of what is planted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from checklist.audit.auditing import audit_paths, wanted_at
from checklist.audit.wording import as_data
from checklist.demo.cast import LAPTOPS
from checklist.demo.club import LOGS, Club
from checklist.demo.copies import COPIES, FORKED, TAMPERED, TRUNCATED
from checklist.demo.diary import DAYS
from checklist.demo.planted import Found, planted
from checklist.demo.seeded import Calendar, LaptopClock
from checklist.record.files.disk import RealDisk
from checklist.sessions.desk import Desk


def all_logs(folder: Path) -> tuple[Path, ...]:
    """Return every log folder of a club that was built in `folder`, the copies last."""
    own = tuple(folder / laptop.name / LOGS for laptop in LAPTOPS)
    return (*own, *(folder / COPIES / name / LOGS for name in (TAMPERED, TRUNCATED, FORKED)))


def found_by_audit(club: Club, at: datetime, folders: Sequence[Path] = ()) -> list[dict[str, Any]]:
    """Return what `standclear audit FOLDERS --json` prints at that time and does not hold."""
    clock = LaptopClock(Calendar(at), "auditor")
    desk = Desk(club.desks["officer"].logs, RealDisk(), clock)
    report = audit_paths(desk, wanted_at(desk, folders or all_logs(club.folder)))
    return [one for one in as_data(report)["findings"] if one["outcome"] != "holds"]


def last_day(club: Club) -> datetime:
    return club.first_day + timedelta(days=DAYS)


def differences(
    club: Club, rows: Iterable[dict[str, Any]], at: datetime, *, whole_year: bool = False
) -> list[str]:
    """Return a line for each finding that is not planted, and each planted that is not found."""
    left = list(rows)
    missing = []
    for one in planted(whole_year=whole_year):
        for wanted in one.found:
            if wanted.since is not None and at < last_day(club) + wanted.since:
                continue
            row = next((row for row in left if _is(row, wanted, club)), None)
            if row is None:
                missing.append(f"not found: {wanted}")
            else:
                left.remove(row)
    return [*missing, *(f"not planted: {row}" for row in left)]


def _is(row: dict[str, Any], wanted: Found, club: Club) -> bool:
    return (
        (row["check"], row["outcome"]) == (wanted.check, wanted.outcome.value)
        and _folder(row["folder"], club) == wanted.folder
        and (row["session"] or "") == (club.sessions[wanted.session] if wanted.session else "")
        and wanted.says in row["says"]
    )


def _folder(path: str, club: Club) -> str:
    if not path:
        return ""
    parts = Path(path).relative_to(club.folder).parts
    return parts[1] if parts[0] == COPIES else parts[0]
