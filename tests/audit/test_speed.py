"""How long an audit takes, against the raw verification of the same signatures in the same run."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers import notes
from checklist.sessions.past.cataloguing import catch_up
from tests.audit.manyentries import fill_ledger
from tests.record.making import open_folder
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


@pytest.mark.benchmark
def test_the_catalogue_of_ten_thousand_sessions(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every session is listed anew within a quarter of the bare verification of the signatures.

    The list is made from the ledger. What people typed stands in the session files alone: the
    second number is until every word is on its card and the catalogue on disk, which goes on
    while the list is looked at. Opening and reading all the files, and nothing else, is the third.
    """
    desk = desk_at(tmp_path)
    fill(desk, 10_000)
    folder = LogFolder.open(desk.logs, RealDisk(), RealClock())
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
    assert listed[0] <= 0.25 * raw
    assert took <= 3 * raw
