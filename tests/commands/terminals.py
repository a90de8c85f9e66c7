"""A real pseudo-terminal in which a program is typed at as by a person."""

from __future__ import annotations

import os
import select
import subprocess
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
LONGEST_S = 120


class Typed:
    """A program in a pseudo-terminal: what it wrote, and a keyboard."""

    def __init__(self, process: subprocess.Popen[bytes], handle: int) -> None:
        self.process, self._handle = process, handle
        self.said = ""
        self._seen = 0

    def until(self, words: str) -> None:
        """Read until these words come, after those that were waited for before."""
        end = time.monotonic() + LONGEST_S
        while (at := self.said.find(words, self._seen)) < 0:
            if not self._read() or time.monotonic() > end:
                raise AssertionError(f"{words!r} never came:\n{self.said[-2000:]}")
        self._seen = at + len(words)

    def type(self, keys: str) -> None:
        """Type the keys."""
        os.write(self._handle, keys.encode())

    def answer(self, words: str, line: str) -> None:
        """Wait for the words of a prompt, then type a line."""
        self.until(words)
        self.type(f"{line}\n")

    def end(self) -> int:
        """Read to the end and return the number that the program ended with."""
        while self._read():
            pass
        return self.process.wait(timeout=LONGEST_S)

    def _read(self) -> bool:
        if not select.select([self._handle], [], [], LONGEST_S)[0]:
            return False
        piece = b""
        with suppress(OSError):  # how a pseudo-terminal says that its other end is closed
            piece = os.read(self._handle, 10_000)
        self.said += piece.decode(errors="replace")
        return bool(piece)


@contextmanager
def terminal(command: Sequence[str], environment: Mapping[str, str]) -> Iterator[Typed]:
    """Run a command in a pseudo-terminal of its own, 80 by 24; killed at the end of the block."""
    import pty
    import termios

    ours, theirs = pty.openpty()
    termios.tcsetwinsize(theirs, (24, 80))
    process = subprocess.Popen(
        command, cwd=CHECKOUT, env={**os.environ, "TERM": "xterm", **environment},
        stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
        preexec_fn=_control,
    )  # fmt: skip
    os.close(theirs)
    try:
        yield Typed(process, ours)
    finally:
        process.kill()
        process.wait(timeout=LONGEST_S)
        os.close(ours)


def _control() -> None:
    """Make the pseudo-terminal the one that controls the process, as a shell needs it.

    Ctrl+C counts there, also where the tests themselves were started in the background.
    """
    import fcntl
    import signal
    import termios

    signal.signal(signal.SIGINT, signal.SIG_DFL)

    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
