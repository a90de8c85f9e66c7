"""Work in order over one process or several, never far ahead of whoever takes the results."""

from __future__ import annotations

import multiprocessing
import os
import sys
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, redirect_stderr
from multiprocessing import resource_tracker
from typing import TypeVar

from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder

WORTH_IT = 4000
"""Entries above which more processes are started: below, starting them costs more than it saves."""

MOST = 61
"""Processes at most: Windows can wait for no more of them."""

_AHEAD = 3
"""Tasks under way for each process; results wait no longer than that, so memory stays bounded."""

_T = TypeVar("_T")
_R = TypeVar("_R")


class Workers:
    """Does tasks in order, here or in other processes."""

    def __init__(self, pool: ProcessPoolExecutor | None = None, count: int = 1) -> None:
        self._pool, self.count = pool, count

    def each(self, work: Callable[[_T], _R], tasks: Iterable[_T]) -> Iterator[_R]:
        """Yield what `work` gives for each task, in the tasks' order."""
        under_way: deque[tuple[_T, Future[_R] | None]] = deque()
        for task in tasks:
            under_way.append((task, self._begin(work, task)))
            if self._pool is None or len(under_way) >= self.count * _AHEAD:
                yield self._result(work, *under_way.popleft())
        while under_way:
            yield self._result(work, *under_way.popleft())

    def _begin(self, work: Callable[[_T], _R], task: _T) -> Future[_R] | None:
        if self._pool is not None:
            try:
                return self._pool.submit(work, task)
            except BrokenProcessPool:
                self._pool = None
        return None

    def _result(self, work: Callable[[_T], _R], task: _T, begun: Future[_R] | None) -> _R:
        """Return what a task gave; one whose process was killed is done again in this one."""
        if begun is not None:
            try:
                return begun.result()
            except BrokenProcessPool:
                self._pool = None
        return work(task)


@contextmanager
def workers_for(entries: int, folders: Iterable[LogFolder]) -> Iterator[Workers]:
    """Give workers for so many entries: every processor above a few thousand, else this one."""
    count = os.process_cpu_count() if hasattr(os, "process_cpu_count") else os.cpu_count() or 1
    is_real = all(isinstance(folder.disk, RealDisk) for folder in folders)
    if entries < WORTH_IT or count < 2 or not is_real:
        yield Workers()
        return
    count = min(count, MOST)
    # A fresh interpreter for each: forking a program with threads (the screens) can hang it.
    method = "forkserver" if "forkserver" in multiprocessing.get_all_start_methods() else "spawn"
    if method == "forkserver":
        _start_tracker()
    with ProcessPoolExecutor(count, multiprocessing.get_context(method)) as pool:
        yield Workers(pool, count)


def _start_tracker() -> None:
    """Start the library's own helper process, which hands stderr on and so needs a real one.

    Windows, where `spawn` is the only method, has no such helper and cannot start one.
    While the screens run, sys.stderr has no file number, and starting a process would fail.
    """
    with redirect_stderr(sys.__stderr__):
        resource_tracker.ensure_running()
