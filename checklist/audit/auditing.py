"""The whole audit: every ledger, every session, and what folders show together."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from checklist.audit.across import check_forks, check_tags
from checklist.audit.chain import Chain, stretches_of
from checklist.audit.entries import Stretch, Task, read_stretch
from checklist.audit.evaluations import Evaluated, Key, check_evaluations, take_evaluations
from checklist.audit.gathering import opened
from checklist.audit.notenames import NoteNames
from checklist.audit.pinning import check_pinning
from checklist.audit.received import check_receipts
from checklist.audit.report import AuditReport, FolderAudited, Tally, report_of
from checklist.audit.sessions import (
    Result,
    SessionTask,
    check_sessions,
    forget_shared,
    overdue,
    take_newest,
)
from checklist.errors import StandclearError
from checklist.record.errors import RecordError
from checklist.record.files.folder import LogFolder, is_session_id
from checklist.record.files.whole import is_temporary
from checklist.record.files.workers import Workers, workers_for
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.roll.keyholders import NO_OFFICER
from checklist.record.roll.roster import Roster
from checklist.record.verifying.report import Outcome
from checklist.sessions.desk import Desk
from checklist.sessions.library import RULE_FILE

STRETCH = 400
"""Entries that one process takes at a time."""

FEW = 40
"""Sessions that one process takes at a time."""

_NOT_ALL_READ = (
    ("form", Outcome.FAILS),
    ("form", Outcome.CANNOT_TELL),
    ("order", Outcome.FAILS),
)
"""Where a folder shows one of these, not every entry was read that there is or was."""

Progress = Callable[[str, str], object]
"""Is told a folder and in a few words how far it is there; what it raises stops the audit."""


_runs = count(1)


class AuditStopped(StandclearError):
    """Somebody stopped an audit before it was made."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What an audit shall do."""

    folders: tuple[Path, ...]
    roster: Roster = field(default_factory=Roster)
    """The auditor's own."""

    own: LogFolder | None = None
    """The auditor's own log folder, with receipts given and entries seen; None without one."""

    recompute: bool = False
    """Whether every stored finding is computed again."""

    ledgers_only: bool = False
    """Whether only signatures, order and completeness of the ledgers are checked."""


def wanted_at(desk: Desk, paths: Sequence[Path], *, recompute: bool = False) -> Wanted:
    """Return an audit of these folders with the roster and the receipts that the auditor keeps.

    Both are empty where the auditor keeps no log folder yet; none is made by auditing.
    """
    if desk.disk.facts(desk.logs / "origin") is None:
        return Wanted(tuple(paths), recompute=recompute)
    own = LogFolder.look(desk.logs, desk.disk, desk.clock)
    return Wanted(tuple(paths), Roster.read(own), own, recompute)


def audit_paths(
    desk: Desk, wanted: Wanted, progress: Progress = lambda folder, said: None
) -> AuditReport:
    """Audit every folder and return what was found; nothing in them is changed.

    Never raises for what it finds in a folder: that is a finding, as is a folder among others
    that is no log folder. Raises FolderRefused, before anything is read, for a path where no
    folder is, and where none is a log folder. `desk` is the auditor's own.
    """
    folders, tallies = opened(wanted.folders, desk.disk, desk.clock)
    seen = _Seen()
    for damaged in tallies:
        seen.audited.append(_audited(damaged))
    names = [_names(folder) for folder in folders]
    with workers_for(sum(len(n) for n, _ in names), folders) as workers:
        for folder, (files, tally) in zip(folders, names, strict=True):
            chain = _read_ledger(folder, files, tally, wanted, workers, progress)
            _check_rules(desk, chain, tally)
            check_pinning(folder, chain.taken, wanted.roster, tally)
            if not wanted.ledgers_only:
                _read_sessions(folder, chain, tally, wanted, workers, progress, seen)
            tallies.append(tally)
            progress(tally.folder, seen.take(folder, chain, tally).sentence)
    together = Tally()
    check_forks(seen.lengths, together)
    paths = {folder.origin: str(folder.path) for folder in folders}
    gone = any(("tags", Outcome.WARNING) in tally.counts for tally in tallies)
    partial = any(lost in tally.counts for tally in tallies for lost in _NOT_ALL_READ)
    check_tags(seen.tags, together, paths, hangs_elsewhere=gone, is_partial=partial)
    now = desk.clock.now()
    overdue(seen.newest, now, together)
    check_evaluations(seen.evaluations, together)
    _check_roster(wanted.roster, together)
    return report_of(now, seen.audited, [together, *tallies])


@dataclass(slots=True)
class _Seen:
    """What is kept of the folders for the checks across them."""

    audited: list[FolderAudited] = field(default_factory=list)
    lengths: list[tuple[LogFolder, int]] = field(default_factory=list)
    tags: list[Recorded] = field(default_factory=list)
    newest: dict[str, Result] = field(default_factory=dict)
    evaluations: dict[Key, Evaluated] = field(default_factory=dict)

    def take(self, folder: LogFolder, chain: Chain, tally: Tally) -> FolderAudited:
        self.tags += chain.tags
        self.lengths.append((folder, chain.entries))
        last = chain.last if chain.entries else ""
        audited = _audited(tally, folder.origin, chain.entries, last, len(chain.sessions))
        self.audited.append(audited)
        return audited


def _audited(
    tally: Tally, origin: str = "", entries: int = 0, last: str = "", sessions: int = 0
) -> FolderAudited:
    return FolderAudited(
        tally.folder,
        origin,
        entries,
        last,
        sessions,
        fails=tally.number_of(Outcome.FAILS),
        unknown=tally.number_of(Outcome.CANNOT_TELL),
        warnings=tally.number_of(Outcome.WARNING),
    )


def _names(folder: LogFolder) -> tuple[NoteNames, Tally]:
    tally = Tally(str(folder.path))
    try:
        ledger = Ledger(folder)
        names, strangers = NoteNames(ledger.names()), ledger.strangers()
    except (RecordError, OSError) as problem:
        said = problem.sentence() if isinstance(problem, RecordError) else str(problem)
        tally.add("form", Outcome.FAILS, f"The ledger cannot be listed: {said}")
        return NoteNames(()), tally
    for stranger in strangers:
        said = f"{stranger!r} does not belong into the ledger's folder."
        tally.add("strangers", Outcome.WARNING, said)
    return names, tally


def _read_ledger(
    folder: LogFolder,
    names: NoteNames,
    tally: Tally,
    wanted: Wanted,
    workers: Workers,
    progress: Progress,
) -> Chain:
    chain = Chain(tally)
    received = check_receipts(folder, names, wanted.own, wanted.roster, tally)
    holders = wanted.roster.key_holders
    tasks = (Task(folder, some, holders, received) for some in stretches_of(names, STRETCH))
    chain.join(_told(workers.each(read_stretch, tasks), progress, tally, len(names), "entries"))
    return chain


def _read_sessions(
    folder: LogFolder,
    chain: Chain,
    tally: Tally,
    wanted: Wanted,
    workers: Workers,
    progress: Progress,
    seen: _Seen,
) -> None:
    done, of = 0, len(chain.sessions)
    for found in workers.each(check_sessions, _tasks(folder, chain, tally, wanted)):
        progress(tally.folder, f"reading {min(done, of)} of {of} sessions")
        done += FEW
        tally.merge(found.tally)
        for result in found.newest.values():
            take_newest(seen.newest, result)
        take_evaluations(seen.evaluations, found.evaluations.values())
    forget_shared()


def _told(
    stretches: Iterator[Stretch], progress: Progress, tally: Tally, of: int, what: str
) -> Iterator[Stretch]:
    """Pass the stretches on, and say how far it is before each."""
    done = 0
    progress(tally.folder, f"reading 0 of {of} {what}")
    for stretch in stretches:
        yield stretch
        done += STRETCH
        progress(tally.folder, f"reading {min(done, of)} of {of} {what}")


def _tasks(folder: LogFolder, chain: Chain, tally: Tally, wanted: Wanted) -> Iterator[SessionTask]:
    """Yield every session that the ledger names, then every file that it does not name."""
    run = next(_runs)
    some: list[tuple[str, tuple[int, ...]]] = []
    for name, numbers in chain.sessions.items():
        some.append((name.hex(), numbers))
        if len(some) == FEW:
            yield SessionTask(folder, tuple(some), wanted.recompute, run)
            some = []
    some += [(session_id, ()) for session_id in _unnamed(folder, chain, tally)]
    if some:
        yield SessionTask(folder, tuple(some), wanted.recompute, run)


def _unnamed(folder: LogFolder, chain: Chain, tally: Tally) -> list[str]:
    try:
        names = folder.disk.names(folder.sessions)
    except OSError as problem:
        tally.add("form", Outcome.FAILS, f"sessions/ cannot be listed: {problem.strerror}.")
        return []
    found = []
    for name in names:
        session_id = name.removesuffix(".jsonl")
        if name.endswith(".jsonl") and is_session_id(session_id):
            if bytes.fromhex(session_id) not in chain.sessions:
                found.append(session_id)
        elif not is_temporary(name):
            tally.add("strangers", Outcome.WARNING, f"{name!r} does not belong into sessions/.")
    return found


def _check_rules(desk: Desk, chain: Chain, tally: Tally) -> None:
    """Hold the rule files as used against those that the auditor has at hand."""
    for (sha256, edition, name), number in chain.rules.items():
        try:
            here = desk.library.load(name)
        except StandclearError:
            said = f"“{name}”, edition {edition}, is no rule file that is at hand here."
            tally.add("rule files", Outcome.WARNING, said, entry=number)
            continue
        if here.hashes()[RULE_FILE] == sha256:
            tally.passed("rule files")
        else:
            said = (
                f"“{name}”, edition {edition}, was used in another text than the one at hand "
                f"here, edition {here.rule_file.edition}."
            )
            tally.add("rule files", Outcome.WARNING, said, entry=number)


def _check_roster(roster: Roster, tally: Tally) -> None:
    if roster.problem or roster.newest is None:
        why = roster.problem or NO_OFFICER
        said = f"Who the signers are cannot be told: {why}."
        tally.add("identity", Outcome.CANNOT_TELL, said)
