"""What verifying says of each planted fault, whole: the words change only on purpose."""

from __future__ import annotations

import re
from copy import copy, deepcopy
from dataclasses import replace
from datetime import timedelta
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from checklist import __version__
from checklist.record.errors import RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.files.kept import attach
from checklist.record.journals.journal import FileMark
from checklist.record.journals.seal import abandon, begin_session, resume_session, rule_of
from checklist.record.journals.states import states_of
from checklist.record.ledgers.entries import Draft, RuleMark, Signer
from checklist.record.ledgers.ledger import Ledger
from checklist.record.roll.appointing import appoint
from checklist.record.verifying.report import Findings, Outcome
from checklist.record.verifying.verify import verify
from checklist.record.verifying.verify_session import check_session
from checklist.strictyaml import read_yaml
from tests.calculations.saying import dump
from tests.record.crashdisk import ROOT, CrashDisk, Inode
from tests.record.making import HandClock, begin, come_late, finish, person

if TYPE_CHECKING:
    from collections.abc import Callable

    from checklist.record.roll.keys import UnlockedKey

_SAID = Path(__file__).parent / "said.yaml"
_ABOUT = (
    "What is said of a sound log and of each planted fault. The project's own words, written by "
    "python -m tests.record.verifying.test_said and read in the diff; they validate nothing."
)
SEALED, LATE, RUNNING, GIVEN_UP = ("1" * 32, "2" * 32, "3" * 32, "4" * 32)
SHA = re.compile("[0-9a-f]{64}")


class Log:
    """A log with a session of every end, in memory, to be damaged."""

    def __init__(self) -> None:
        self.disk, self.clock = CrashDisk(), HandClock()
        self._fill()

    def fresh(self) -> Log:
        """Return the same log on a disk of its own."""
        log = copy(self)
        log.disk, log.clock = deepcopy(self.disk), deepcopy(self.clock)
        log.folder = LogFolder.open(self.folder.path, log.disk, log.clock)
        return log

    def _fill(self) -> None:
        self.folder = LogFolder.open(ROOT / "logs", self.disk, self.clock)
        self.ada, self.ben = person(self.folder, "Ada Quill"), person(self.folder, "Ben Marsh")
        journal = begin(self.folder, SEALED)
        journal.append("answered", {"step": "lines", "typed": "41 ft"})
        finish(self.folder, journal, self.ada, self.ben)
        self.closed = finish(
            self.folder,
            begin(self.folder, LATE),
            self.ada,
            absent=("Ben Marsh",),
            verdict="stopped",
        )
        begin(self.folder, RUNNING).close()
        begin(self.folder, GIVEN_UP).close()
        abandon(self.folder, GIVEN_UP, "the weather turned")

    def path(self, name: str) -> Path:
        return next(path for path in self.disk.names_now if path.name.startswith(name))

    def data(self, name: str) -> bytearray:
        inode = self.disk.names_now[self.path(name)]
        assert inode is not None
        return inode.cached

    def put(self, name: str, data: bytes) -> None:
        self.disk.names_now[self.folder.path / name] = Inode(bytearray(data))

    def drop(self, name: str) -> None:
        self.disk.names_now.pop(self.path(name))

    def replace(self, name: str, old: bytes, new: bytes) -> None:
        data = self.data(name)
        assert old in data
        data[:] = data.replace(old, new, 1)

    def enter(
        self, kind: str, session: str | None, key: UnlockedKey | None = None, **more: Any
    ) -> None:
        """Add an entry as a careless or lying program might, well formed and well signed."""
        signers = (Signer(key.person, "in charge", key.public, is_here=True),) if key else ()
        draft = Draft(kind, session, signers=signers, **more)
        Ledger(self.folder).append(draft, [key] if key else [])


def _drop_line(log: Log) -> None:
    lines = bytes(log.data(SEALED)).splitlines(keepends=True)
    log.data(SEALED)[:] = b"".join([lines[0], *lines[2:]])


def _tear(name: str) -> Callable[[Log], None]:
    return lambda log: log.data(name).extend(b'{"n":')


def _swap(log: Log) -> None:
    one, two = log.data("00000003"), log.data("00000004")
    one[:], two[:] = bytes(two), bytes(one)


def _no_signatures(log: Log) -> None:
    data = log.data("00000002")
    data[:] = data.partition(b"\n\n")[0] + b"\n\n"


def _photo(log: Log) -> None:
    folder = LogFolder.open(ROOT / "logs", log.disk, log.clock)
    photo = ROOT / "photo.jpg"
    log.disk.names_now[photo] = Inode(bytearray(b"the label of the set"))
    journal = begin(folder, "5" * 32)
    journal.append("attached", attach(folder, photo).as_data())
    journal.close()
    next(i for p, i in log.disk.names_now.items() if i and p.parent.name == "attachments").cached[
        :
    ] = b"another label"


def _clock(log: Log) -> None:
    journal = begin(log.folder, "5" * 32)
    log.clock.set_wall(-3600)
    journal.append("answered", {})
    journal.close()
    Ledger(log.folder).append(Draft("near miss"))


def _elsewhere(log: Log) -> None:
    log.replace("origin", log.folder.origin.encode(), b"0" * 32)


def _twice(log: Log) -> None:
    mark, rule = FileMark("0" * 64, 0), RuleMark("x", "1", "0" * 64)
    log.enter("begun", SEALED, file=mark, rule=rule)
    log.enter("abandoned", SEALED, file=mark)
    log.enter("abandoned", "6" * 32, file=mark)


def _another_name(log: Log) -> None:
    alias = type(log.ada)("Ben Marsh", log.ada.public, log.ada._secret)
    log.enter("near miss", SEALED, alias)


def _not_awaited(log: Log) -> None:
    log.enter("signed late", LATE, log.ada, file=log.closed.entry.file, target=log.closed.sha256)


def _another_verdict(log: Log) -> None:
    journal = begin(log.folder, "5" * 32)
    journal.append("closed", {"verdict": "stopped"})
    rule = RuleMark(rule_of(journal.lines[0]).name, "2027", rule_of(journal.lines[0]).sha256)
    log.enter(
        "sealed", "5" * 32, log.ada, file=journal.digest(), verdict="no stop found", rule=rule
    )
    journal.close()


def _another_beginning(log: Log) -> None:
    journal = begin_session(
        log.folder, rule_name="x", edition="1", rule_bytes=b"x", session_id="5" * 32
    )
    journal.close()
    name = f"{len(Ledger(log.folder).names()):08}"
    log.drop(name)
    log.enter(
        "begun",
        "5" * 32,
        file=FileMark("0" * 64, 1),
        rule=RuleMark("x", "1", rule_of(journal.lines[0]).sha256),
    )


def _another_reason(log: Log) -> None:
    begin(log.folder, "5" * 32).close()
    journal, _ = resume_session(log.folder, "5" * 32)
    journal.append("abandoned", {"reason": "rain"})
    journal.close()
    log.enter(
        "abandoned", "5" * 32, file=journal.digest(), rule=rule_of(journal.lines[0]),
        fields=(("reason", "snow"),),
    )  # fmt: skip


def _lost_report(log: Log) -> None:
    log.enter("audited", None, log.ada, fields=(("outcome", "holds"), ("report", "0" * 64)))


def _unknown_folder(log: Log) -> None:
    journal = begin(log.folder, "5" * 32)
    journal.append("attached", {"kept": "cellar", "sha256": "0" * 64, "size": "1", "name": "x"})
    journal.close()


def _later_entry(log: Log) -> None:
    log.replace("00000005", b"ledger entry 1", b"ledger entry 2")
    log.replace("00000005", f"standclear {__version__}".encode(), b"standclear 999.0.0")


def _later_session(log: Log) -> None:
    log.replace(SEALED, b"session 1", b"session 2")
    log.replace(SEALED, f"standclear {__version__}".encode(), b"standclear 999.0.0")


def _ended_out_of_nothing(log: Log) -> None:
    first = begin(log.folder, "5" * 32)
    log.drop(f"{len(Ledger(log.folder).names()):08}")
    rule = replace(rule_of(first.lines[0]), edition="2027")
    first.append("closed", {"verdict": "stopped"})
    log.enter("sealed", "5" * 32, log.ada, file=first.digest(), verdict="stopped", rule=rule)
    first.close()


def _damaged_and_given_up(log: Log) -> None:
    journal = begin(log.folder, "5" * 32)
    journal.append("answered", {"step": "lines", "typed": "41 ft"})
    journal.append("answered", {"step": "lines", "typed": "42 ft"})
    journal.close()
    log.replace("5" * 32, b"41 ft", b"14 ft")
    abandon(log.folder, "5" * 32, "its file is damaged")


def _same_moment(log: Log) -> None:
    log.clock.tick = timedelta(0)
    for _ in range(2):
        Ledger(log.folder).append(Draft("near miss"))


def _strangers(log: Log) -> None:
    for name in (
        "ledger/notes.txt", "sessions/notes.txt", "sessions/.x.tmp", "sessions/notes.jsonl",
        f"sessions/{'7' * 32}",
    ):  # fmt: skip
        log.put(name, b"x")


def _no_end(log: Log) -> None:
    for name in ("00000007", "00000006", "00000005"):
        log.drop(name)


FAULTS: dict[str, Callable[[Log], object]] = {
    "the sound log": lambda _: None,
    "the late signature given": lambda log: come_late(log.folder, LATE, log.ben),
    "an entry is gone": lambda log: log.drop("00000003"),
    "the newest entries are gone": _no_end,
    "two entries are swapped": _swap,
    "an entry has another text": lambda log: log.replace("00000002", b"no stop", b"no step"),
    "an entry has another person": lambda log: log.replace("00000002", b"Ada Quill", b"Ada Quilt"),
    "an entry has lost its signatures": _no_signatures,
    "an entry is of a later form": _later_entry,
    "files lie there that do not belong": _strangers,
    "the rule file is gone": lambda log: log.drop(
        next(p.name for p in log.disk.names_now if p.parent.name == "rules")
    ),
    "a sealed session is gone": lambda log: log.drop(SEALED),
    "a session that was given up is gone": lambda log: log.drop(GIVEN_UP),
    "a line is gone": _drop_line,
    "a line has another text": lambda log: log.replace(SEALED, b"41 ft", b"14 ft"),
    "a session file is of a later form": lambda log: log.replace(
        SEALED, b"session 1", b"session 2"
    ),
    "a session file is of a later program's form": _later_session,
    "a session ends that never began": _ended_out_of_nothing,
    "a damaged session is given up": _damaged_and_given_up,
    "two entries are of one moment": _same_moment,
    "a sealed session has a torn end": _tear(SEALED),
    "a running session has a torn end": _tear(RUNNING),
    "an attachment was changed": _photo,
    "the clock was set back": _clock,
    "it is another log folder's": _elsewhere,
    "beginnings and ends do not pair": _twice,
    "a key signs under another name": _another_name,
    "a signature that nobody waits for": _not_awaited,
    "the entry tells of another verdict and rule": _another_verdict,
    "the entry tells of another beginning": _another_beginning,
    "the entry gives another reason": _another_reason,
    "an entry names a report that is not there": _lost_report,
    "a line names a folder that there is not": _unknown_folder,
}  # fmt: skip


@cache
def _sound() -> Log:
    return Log()


def _said(plant: Callable[[Log], object], sound: list[str]) -> list[str]:
    """Return what is said of the damaged log and not of the sound one, hashes left out."""
    log = _sound().fresh()
    plant(log)
    report = verify(LogFolder.look(log.folder.path, log.disk, log.clock))
    told = [
        f"{c.subject[:9]} {c.name}: {c.outcome.value}: "
        + SHA.sub("(hash)", c.sentence).replace(__version__, "(version)")
        for c in report.checks
    ]
    return [line for line in [*told, report.sentence] if line not in sound]


def _kept() -> dict[str, list[str]]:
    cases = read_yaml(_SAID.read_text("utf-8"), _SAID.name).data["cases"]
    return {case["id"]: case["said"] for case in cases}


@pytest.mark.parametrize("name", FAULTS)
def test_it_says_this_of_a_fault_and_nothing_else(name: str) -> None:
    """Every check with its outcome and sentence is what was last read through."""
    sound = [] if name == "the sound log" else _kept()["the sound log"]

    assert _said(FAULTS[name], sound) == _kept()[name]


def test_of_one_session_alone_nothing_is_said_about_another() -> None:
    """The ledger is checked whole all the same; a session that is not there is refused."""
    log = _sound().fresh()
    subjects = {check.subject for check in verify(log.folder, LATE).checks}
    with pytest.raises(RecordError) as refused:
        verify(log.folder, "x" * 50)

    assert subjects == {"ledger", f"session {LATE}"}
    assert refused.value.sentence() == (
        f"no session '{'x' * 40}' is known here. standclear review lists them."
    )
    assert {c.outcome for c in verify(log.folder, SEALED).checks} == {
        Outcome.HOLDS, Outcome.CANNOT_TELL,
    }  # fmt: skip


def test_how_far_it_is_is_told_entry_by_entry_and_session_by_session() -> None:
    """Before each piece: what is looked at, how many are done, and of how many."""
    log, told = _sound().fresh(), list[tuple[str, int, int]]()
    verify(log.folder, tell=lambda *so_far: told.append(so_far))
    entries, sessions = len(Ledger(log.folder).names()), 4

    assert told == [("ledger entries", n, entries) for n in range(entries)] + [
        ("sessions", n, sessions) for n in range(sessions)
    ]


def test_of_a_session_that_cannot_be_read_no_line_is_given() -> None:
    """Whoever goes on with the lines that are good has none then."""
    log = _sound().fresh()
    log.drop(SEALED)
    state = states_of(Ledger(log.folder).entries())[SEALED]

    assert check_session(log.folder, SEALED, state, Findings()) == ()


def test_a_key_that_is_another_person_s_fails_in_verifying() -> None:
    """The finding is on the ledger, with the entry's number and what the roster says."""
    log = _sound().fresh()
    appoint(log.folder, log.ada)
    told = [c for c in verify(log.folder).checks if c.name == "identity"]

    assert {(c.subject, c.outcome) for c in told} == {("ledger", Outcome.FAILS)}
    assert told[0].sentence == (
        "Entry 2: Ada Quill may not sign as in charge by the roster of that day."
    )
    assert told[1].sentence == "Entry 2: The key that signs as Ben Marsh is not in the roster."


if __name__ == "__main__":
    whole = _said(FAULTS["the sound log"], [])
    listed = [
        {"id": name, "said": _said(plant, [] if name == "the sound log" else whole)}
        for name, plant in FAULTS.items()
    ]
    dump({"about": _ABOUT, "cases": listed}, _SAID)
