"""How long the program takes to its first screen, against the least that Textual itself takes."""

from __future__ import annotations

import os
import pty
import select
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

RUNS = 15
EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("FIRST PAINT")
Empty().run()
"""


@pytest.mark.benchmark
def test_first_screen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Start to home with its rule files takes at most 1.5 times an empty Textual app, p50.

    Both are started in turn in a real pseudo-terminal, on a log folder that exists; the
    clock stops when the marking text has reached the terminal.
    """
    ours = [sys.executable, "-m", "checklist", "--logs", str(tmp_path / "logs")]
    empty = [sys.executable, "-c", EMPTY]
    _until(ours, b"Emergency-power")
    times: dict[str, list[float]] = {"ours": [], "empty": []}
    for _ in range(RUNS):
        times["empty"].append(_until(empty, b"FIRST PAINT"))
        times["ours"].append(_until(ours, b"Emergency-power"))
    middle = {name: statistics.median(found) for name, found in times.items()}
    ratio = middle["ours"] / middle["empty"]
    with capsys.disabled():
        print(
            f"\n  start to home {middle['ours'] * 1e3:.0f} ms, empty Textual app "
            f"{middle['empty'] * 1e3:.0f} ms, ratio {ratio:.2f} (reach 1.5)"
        )

    assert ratio <= 1.5


def _until(command: list[str], mark: bytes) -> float:
    """Return the seconds from starting `command` in a pseudo-terminal until it shows `mark`."""
    parent, child = pty.openpty()
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}
    start = time.perf_counter()
    process = subprocess.Popen(
        command, stdin=child, stdout=child, stderr=child, env=environment, close_fds=True
    )
    os.close(child)
    seen = b""
    try:
        while mark not in seen:
            ready, _, _ = select.select([parent], [], [], 10)
            if not ready:
                raise AssertionError(f"{mark!r} was not shown: {seen[-400:]!r}")
            seen += os.read(parent, 65536)
        return time.perf_counter() - start
    finally:
        process.kill()
        process.wait()
        os.close(parent)
