"""Other processes can be started from the screens, whose stderr is no file."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from multiprocessing import resource_tracker
from pathlib import Path

import pytest

from checklist.record.files import workers
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder


class Held(io.StringIO):
    """A stderr as the screens put it in the place of the real one: without a file number."""

    def fileno(self) -> int:
        return -1


def hold_stderr(monkeypatch: pytest.MonkeyPatch) -> Held:
    """Do as the screens do; inside the test, since pytest puts its own there before each."""
    held = Held()
    monkeypatch.setattr(sys, "stderr", held)
    return held


def test_the_helper_process_gets_the_real_stderr(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """While it is started stderr is the real one, and afterwards the screens have theirs again."""
    held, seen = hold_stderr(monkeypatch), []
    monkeypatch.setattr(resource_tracker, "ensure_running", lambda: seen.append(sys.stderr))
    monkeypatch.setattr(workers, "WORTH_IT", 1)
    monkeypatch.setattr(workers, "ProcessPoolExecutor", NoPool)
    folder = LogFolder.open(tmp_path / "logs", RealDisk(), RealClock())
    with workers.workers_for(9, [folder]) as some:
        assert some.count > 1

    assert seen == [sys.__stderr__]
    assert sys.stderr is held


def test_a_helper_process_that_is_not_there_yet_starts(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The library's own helper, new as in a fresh program, comes to run under a held stderr."""
    held, fresh = hold_stderr(monkeypatch), resource_tracker.ResourceTracker()
    monkeypatch.setattr(resource_tracker, "ensure_running", fresh.ensure_running)
    workers._start_tracker()
    try:
        running = fresh._fd  # type: ignore[attr-defined]  # the one sign that it runs
    finally:
        fresh._stop()  # type: ignore[attr-defined]  # as the library's own tests end it

    assert running is not None
    assert held.getvalue() == ""


class NoPool:
    """Stands in the place of the pool, so that this test starts no process."""

    def __init__(self, count: int, context: object) -> None:
        self.count, self.context = count, context

    def __enter__(self) -> NoPool:
        return self

    def __exit__(self, *_: object) -> None:
        return None


@pytest.mark.parametrize(("pool", "ahead"), [(False, 1), (True, 3)])
def test_results_come_in_order_and_no_task_is_taken_far_ahead(*, pool: bool, ahead: int) -> None:
    """Alone each task waits for the last; of a pool's process three tasks are under way."""
    taken: list[int] = []

    def tasks() -> Iterator[int]:
        for number in range(7):
            taken.append(number)
            yield number

    with ThreadPoolExecutor(1) as threads:
        some = workers.Workers(threads if pool else None)  # type: ignore[arg-type]  # threads do
        results = some.each(str, tasks())
        first = next(results), len(taken)
        rest = list(results)

    assert first == ("0", ahead)
    assert rest == list("123456")
