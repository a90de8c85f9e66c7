"""How long an audit takes, against the raw verification of the same signatures in the same run."""

from __future__ import annotations

import json
import os
import pickle
import subprocess
import sys
import time
import tracemalloc
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers import notes
from checklist.record.roll.appointing import appoint, publish
from checklist.record.roll.people import KeyTerm, Member
from checklist.record.roll.receiving import receive_folder
from checklist.record.roll.roster import Roster
from checklist.record.verifying.report import Outcome
from checklist.sessions.desk import Desk
from checklist.sessions.overview import overview
from checklist.sessions.past.cataloguing import catch_up
from tests.audit.manyentries import fill_ledger
from tests.record.making import open_folder, person
from tests.sessions.manysessions import fill
from tests.sessions.pastsessions import desk_at

AUDIT = """
import json, os, sys, threading, time
from pathlib import Path

def whole_memory():
    # KB of this process and of those that it started, shared memory divided among them
    children, found = {}, 0
    for name in filter(str.isdigit, os.listdir("/proc")):
        try:
            parent = Path("/proc", name, "stat").read_text().rpartition(")")[2].split()[1]
        except OSError:
            continue
        children.setdefault(parent, []).append(name)
    waiting = [str(os.getpid())]
    while waiting:
        one = waiting.pop()
        waiting += children.get(one, [])
        try:
            lines = Path("/proc", one, "smaps_rollup").read_text().splitlines()
        except OSError:
            continue
        found += sum(int(line.split()[1]) for line in lines if line.startswith("Pss:"))
    return found

def main():
    # imported here, as the program does: whoever is started for part of the work imports less
    from checklist.audit.auditing import Wanted, audit_paths
    from checklist.record.verifying.report import Outcome
    from checklist.sessions.desk import Desk

    seen, ended = [0], threading.Event()
    def watch():
        while Path("/proc/self/smaps_rollup").exists() and not ended.wait(0.25):
            seen.append(whole_memory())
    threading.Thread(target=watch, daemon=True).start()
    desk = Desk.at(Path(sys.argv[1]).parent / "nobody")
    start = time.perf_counter()
    report = audit_paths(desk, Wanted((Path(sys.argv[1]),), ledgers_only=True))
    took = time.perf_counter() - start
    ended.set()
    # not ru_maxrss: what is started from a large program inherits the peak of that
    status = Path("/proc/self/status")
    peaks = [int(line.split()[1]) for line in status.read_text().splitlines()
             if line.startswith("VmHWM")] if status.exists() else [0]
    print(json.dumps({
        "took": took, "fails": report.number_of(Outcome.FAILS),
        "signatures": sum(c for check, o, c in report.counts
                          if check == "signatures" and o is Outcome.HOLDS) - 1,
        "peak": peaks[0], "whole_peak": max(seen),
    }))

if __name__ == "__main__":
    main()
"""


def audit_alone(logs: Path, script: Path) -> dict[str, float]:
    """Audit in a fresh interpreter, whose memory is the audit's alone."""
    script.write_text(AUDIT, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(script), str(logs)],
        capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2],
        env={"PYTHONPATH": str(Path(__file__).parents[2])},
    )  # fmt: skip
    found: dict[str, float] = json.loads(done.stdout)
    return found


def settled() -> None:
    """Have written what was just made, or the system would do it while something is measured."""
    if hasattr(os, "sync"):
        os.sync()


def raw_verification(logs: Path) -> tuple[float, int]:
    """Verify every signature with the library alone, and return seconds and how many."""
    took, count = 0.0, 0
    for path in sorted((logs / "ledger").iterdir()):
        note = notes.parse(path.read_bytes())
        text = note.text.encode()
        start = time.perf_counter()
        for signature in note.signatures:
            key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(signature.name))
            key.verify(signature.value, text)
            count += 1
        took += time.perf_counter() - start
    return took, count


def measured(tmp_path: Path, sessions: int) -> dict[str, float]:
    folder = open_folder(tmp_path / f"logs-{sessions}")
    fill_ledger(folder, sessions)
    settled()
    found = audit_alone(folder.path, tmp_path / "alone.py")
    raw, count = raw_verification(folder.path)
    assert (found["fails"], found["signatures"]) == (0, count)
    return {**found, "raw": raw, "sessions": sessions}


def said(found: dict[str, float]) -> str:
    return (
        f"\n  audit of signatures, order, completeness, {found['sessions']} sessions: "
        f"{found['took']:.1f} s, raw verification {found['raw']:.1f} s on one processor, "
        f"ratio {found['took'] / found['raw']:.2f} with {os.cpu_count()} processors (reach 1.3); "
        f"peak {found['peak'] / 1024:.0f} MB, with the processes it starts "
        f"{found['whole_peak'] / 1024:.0f} MB"
    )


@pytest.mark.benchmark
def test_the_audit_of_ten_thousand_sessions(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Signatures, order and completeness take at most 1.3 times the bare verification."""
    found = measured(tmp_path, 10_000)
    with capsys.disabled():
        print(said(found))

    assert found["took"] <= 1.3 * found["raw"]


@pytest.mark.long
def test_the_audit_of_a_hundred_thousand_sessions(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """At ten times as many the time ratio holds, and the peak memory is not doubled."""
    small, large = measured(tmp_path, 10_000), measured(tmp_path, 100_000)
    with capsys.disabled():
        print(said(small), said(large))

    assert large["took"] <= 1.3 * large["raw"]
    assert large["peak"] <= 2 * small["peak"]
    assert large["whole_peak"] <= 2 * small["whole_peak"]


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the log folder of 10,000 sessions, each signed by the two people its rules want."""
    desk = desk_at(tmp_path_factory.mktemp("many"))
    fill(desk, 10_000)
    settled()
    return desk.logs


@pytest.mark.benchmark
def test_the_catalogue_of_ten_thousand_sessions(
    many: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every session is listed anew within a third of the bare verification; aimed at is a quarter.

    The list is made from the ledger. What people typed stands in the session files alone: the
    second number is until every word is on its card and the catalogue on disk, which goes on
    while the list is looked at. Opening and reading all the files, and nothing else, is the third.
    """
    folder = LogFolder.open(many, RealDisk(), RealClock())
    folder.catalogue.unlink(missing_ok=True)
    listed: list[float] = []
    start = time.perf_counter()
    cards = catch_up(folder, listed=lambda _: listed.append(time.perf_counter() - start)).cards
    took = time.perf_counter() - start
    start = time.perf_counter()
    size = sum(len(p.read_bytes()) for part in ("ledger", "sessions")
               for p in (folder.path / part).iterdir())  # fmt: skip
    reading = time.perf_counter() - start
    raw, count = raw_verification(folder.path)
    with capsys.disabled():
        print(
            f"\n  catalogue, {len(cards)} sessions: listed anew {listed[0]:.2f} s, raw "
            f"verification of {count} signatures {raw:.2f} s, ratio {listed[0] / raw:.2f} (reach "
            f"0.25); with every word on disk {took:.1f} s, ratio {took / raw:.2f}; reading the "
            f"{size / 1e6:.0f} MB of files alone {reading:.2f} s, ratio {reading / raw:.2f}"
        )

    assert (len(cards), count) == (10_000, 20_000)
    assert listed[0] <= 0.33 * raw
    assert took <= 3 * raw


@pytest.mark.benchmark
def test_home_over_ten_thousand_sessions(many: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What home shows is there within twice the bare verification, and a second time in half."""
    overview(Desk(many, RealDisk(), RealClock()))  # enters the tags that these walks left due
    desk = Desk(many, RealDisk(), RealClock())
    took = []
    for _ in range(2):
        start = time.perf_counter()
        found = overview(desk)
        took.append(time.perf_counter() - start)
    raw, _ = raw_verification(many)
    with capsys.disabled():
        print(
            f"\n  home, 10000 sessions: {took[0]:.1f} s the first time, {took[1]:.2f} s again; raw "
            f"verification {raw:.1f} s, ratios {took[0] / raw:.2f} and {took[1] / raw:.2f}"
        )

    assert (len(found.last), found.problems) == (5, ())
    assert took[0] <= 2 * raw
    assert took[1] <= 0.5 * raw


@pytest.mark.benchmark
def test_a_roster_of_five_hundred_people(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Asking whose a key is takes less than verifying one signature, however long the roster.

    The roster has 500 people and 100 versions, each with five more than the one before.
    """
    folder = open_folder(tmp_path / "logs")
    officer = person(folder, "Vera Holm")
    appoint(folder, officer)
    people = list(Roster.read(folder).versions[-1].version.members)
    now = folder.clock.now().replace(microsecond=0)
    for number in range(500):
        people.append(Member(f"Person {number:03}", ("worker",), keys=(KeyTerm(new_key(), now),)))
        if number % 5 == 4:
            publish(folder, officer, people)
    start = time.perf_counter()
    roster = Roster.read(folder)
    reading = time.perf_counter() - start
    asked = [(member.keys[0].public, member.name) for member in people[1:]]
    roster.identity(*asked[0], "worker", now)
    start = time.perf_counter()
    held = [roster.identity(*one, "worker", folder.clock.now()).outcome for one in asked]
    each = (time.perf_counter() - start) / len(asked)
    sent = len(pickle.dumps(roster.key_holders))
    with capsys.disabled():
        print(
            f"\n  roster of 500 people in {len(roster.versions)} versions: read in "
            f"{reading:.2f} s, {each * 1e6:.1f} us for each signature, {sent / 1e3:.0f} KB sent "
            "to each process"
        )

    assert set(held) == {Outcome.HOLDS}
    assert each < 50e-6
    assert sent < 250_000


@pytest.mark.benchmark
def test_receipts_over_ten_thousand_entries(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ten times as many entries take ten times as long, and ten times the memory, no more."""
    took, peaks = [], []
    for sessions in (500, 5_000):
        base = tmp_path / str(sessions)
        base.mkdir()
        station, officer = open_folder(base / "station"), open_folder(base / "officer")
        fill_ledger(station, sessions)
        key = person(officer, "Vera Holm")
        appoint(officer, key)
        start = time.perf_counter()
        receive_folder(officer, station, key)
        took.append(time.perf_counter() - start)
        tracemalloc.start()
        receive_folder(officer, station, key)
        peaks.append(tracemalloc.get_traced_memory()[1] / 1e6)
        tracemalloc.stop()
    with capsys.disabled():
        print(
            f"\n  receipt for 1,000 and 10,000 entries: {took[0]:.2f} and {took[1]:.2f} s; "
            f"peak {peaks[0]:.1f} and {peaks[1]:.1f} MB"
        )

    assert took[1] <= 15 * took[0]
    assert peaks[1] <= 11 * peaks[0]


def new_key() -> str:
    return Ed25519PrivateKey.generate().public_key().public_bytes_raw().hex()
