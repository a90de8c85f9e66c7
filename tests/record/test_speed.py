"""How long an answer takes to be on disk, against the least that any program must do."""

from __future__ import annotations

import os
import statistics
import time
from typing import TYPE_CHECKING

import pytest

from checklist.record.clock import RealClock
from checklist.record.disk import RealDisk
from checklist.record.folder import LogFolder
from tests.record.making import begin

if TYPE_CHECKING:
    from pathlib import Path

ROUNDS = 1500


@pytest.mark.benchmark
def test_an_answer_on_disk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An answer on disk takes at most 1.15 times a raw write and fdatasync of its bytes, p50."""
    journal = begin(LogFolder.open(tmp_path / "logs", RealDisk(), RealClock()))
    raw = os.open(tmp_path / "raw", os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    answer = {"step": "openings", "typed": "41 ft", "metres": "12.4968", "with": "rangefinder 2"}
    ours, theirs = [], []
    for number in range(ROUNDS):
        before = journal.digest().size
        start = time.perf_counter()
        journal.append("answered", {**answer, "number": number})
        ours.append(time.perf_counter() - start)
        data = b"x" * (journal.digest().size - before)
        start = time.perf_counter()
        os.write(raw, data)
        os.fdatasync(raw)
        theirs.append(time.perf_counter() - start)
    os.close(raw)
    journal.close()
    ratio = statistics.median(ours) / statistics.median(theirs)
    with capsys.disabled():
        print(
            f"\n  answer on disk: {statistics.median(ours) * 1e6:.0f} us, raw "
            f"{statistics.median(theirs) * 1e6:.0f} us, ratio {ratio:.3f} (reach 1.15)"
        )

    assert ratio <= 1.15
