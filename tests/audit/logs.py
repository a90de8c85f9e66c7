"""What the tests of the audit share: a finished log of real walks, and ways to change it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

from checklist.audit.auditing import Wanted, audit_paths
from checklist.audit.report import AuditFinding, AuditReport
from checklist.record.files.disk import RealDisk
from checklist.record.journals.seal import Signing, abandon, sign_late
from checklist.record.journals.states import State, session_states
from checklist.record.verifying.report import Outcome
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from tests.record.making import HandClock
from tests.sessions.pastsessions import NAME, desk_at, key_of, sealed, walked

Change = tuple[str, dict[str, bytes | None]]
"""What was done, and each changed file's new content, None for a file that is gone."""


def finished(path: Path) -> Desk:
    """Return a desk with one sealed session, one sealed late, and one that was given up."""
    desk = desk_at(path)
    sealed(desk, walked(desk))
    late = walked(desk, lock="4")
    sealed(desk, late, absent="Orrin Vale")
    orrin = key_of(desk, "Orrin Vale")
    sign_late(desk.folder, late.id, [Signing("Orrin Vale", "worker", orrin)])
    given_up = begin(desk, NAME).session
    given_up.close()
    abandon(desk.folder, given_up.id, "the weather turned")
    return desk


def sealed_ids(desk: Desk) -> list[str]:
    return [i for i, s in session_states(desk.folder).items() if s.state is State.SEALED]


def audited(path: Path, *more: Path, recompute: bool = False) -> AuditReport:
    desk = Desk(path.parent / "nobody", RealDisk(), HandClock())
    return audit_paths(desk, Wanted((path, *more), recompute=recompute))


def failing(report: AuditReport) -> list[AuditFinding]:
    return [f for f in report.findings if f.outcome is Outcome.FAILS]


def said(report: AuditReport, check: str) -> list[tuple[str, str]]:
    return [(f.outcome.value, f.sentence) for f in report.findings if f.check == check]


def files_of(folder: Path) -> dict[str, bytes]:
    """Return the bytes of everything that an audit must vouch for, by path in the folder."""
    return {
        f"{part}/{path.name}": path.read_bytes()
        for part in ("ledger", "sessions", "rules", "attachments")
        for path in sorted((folder / part).iterdir())
        if not path.name.startswith(".")
    }


def apply(folder: Path, change: dict[str, bytes | None]) -> None:
    for name, data in change.items():
        if data is None:
            (folder / name).unlink()
        else:
            (folder / name).write_bytes(data)


def undo(folder: Path, change: dict[str, bytes | None], files: dict[str, bytes]) -> None:
    for name in change:
        if name in files:
            (folder / name).write_bytes(files[name])
        else:
            (folder / name).unlink()


def copied(desk: Desk, to: Path) -> Path:
    shutil.copytree(desk.logs, to)
    return to


def structural(files: dict[str, bytes], foreign: dict[str, bytes]) -> Iterator[Change]:
    """Yield changes that leave single files, notes or lines whole: swap, delete, double, splice."""
    notes = sorted(name for name in files if name.startswith("ledger/"))
    sessions = sorted(name for name in files if name.startswith("sessions/"))
    others = sorted(name for name in foreign if name.startswith("ledger/"))
    for name in (*notes[:-1], *sessions):
        yield f"{name} deleted", {name: None}
    for one, two in [*pairwise(notes), *pairwise(sessions)]:
        yield f"{one} and {two} swapped", {one: files[two], two: files[one]}
    for name in notes:
        yield f"{name} once more at the end", {f"ledger/{len(notes) + 1:08}.note": files[name]}
        later = {n: files[m] for m, n in pairwise(notes[notes.index(name) :])}
        yield (
            f"{name} doubled in place",
            {**later, f"ledger/{len(notes) + 1:08}.note": files[notes[-1]]},
        )
        if name in others:
            yield f"{name} from another log", {name: foreign[name]}
        yield from _spliced_note(name, files, notes)
    for name in sessions:
        yield from _spliced_lines(name, files, sessions)


def _spliced_note(name: str, files: dict[str, bytes], notes: list[str]) -> Iterator[Change]:
    text, _, below = files[name].partition(b"\n\n")
    lines = below.splitlines(keepends=True)
    for what, changed in {
        "dropped": lines[1:],
        "doubled": lines[:1] + lines,
        "turned": lines[::-1],
    }.items():
        if changed != lines:
            yield f"{name} signatures {what}", {name: text + b"\n\n" + b"".join(changed)}
    for other in notes:
        foreign = files[other].partition(b"\n\n")[2]
        if foreign and foreign != below:
            yield f"{name} with the signatures of {other}", {name: text + b"\n\n" + foreign}
    rows = text.splitlines(keepends=True)
    for at in range(len(rows)):
        less = b"".join(rows[:at] + rows[at + 1 :]).removesuffix(b"\n")
        yield f"{name} text line {at + 1} dropped", {name: less + b"\n\n" + below}
        more = (
            b"".join(rows[: at + 1] + rows[at:]) if at + 1 < len(rows) else text + b"\n" + rows[at]
        )
        yield (
            f"{name} text line {at + 1} doubled",
            {name: more.removesuffix(b"\n") + b"\n\n" + below},
        )


def _spliced_lines(name: str, files: dict[str, bytes], sessions: list[str]) -> Iterator[Change]:
    lines = files[name].splitlines(keepends=True)
    for at, line in enumerate(lines):
        rest = lines[:at] + lines[at + 1 :]
        changes = {
            "dropped": rest,
            "doubled": [*lines[:at], line, *lines[at:]],
            "moved to the front": [line, *rest],
            "moved to the end": [*rest, line],
            "swapped with the next": [*lines[:at], *lines[at : at + 2][::-1], *lines[at + 2 :]],
            "and all after it cut": lines[:at],
        }
        for other in sessions:
            theirs = files[other].splitlines(keepends=True)
            if other != name and at < len(theirs):
                changes[f"taken from {other}"] = [*lines[:at], theirs[at], *lines[at + 1 :]]
        for what, changed in changes.items():
            if changed != lines:
                yield f"{name} line {at + 1} {what}", {name: b"".join(changed)}
