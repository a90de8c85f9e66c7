"""The program as a process: what it imports, and how it ends in a hostile surrounding."""

from __future__ import annotations

import os
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from checklist.commands.exits import CUT_OFF, FAULT, FINE, REFUSED
from tests.commands.conftest import CHECKOUT, Shell

_LOADED = """
import sys
from checklist.__main__ import main
code = main(sys.argv[1:])
print(code, *(sorted(m for m in sys.modules if "." not in m)), file=sys.stderr)
"""

_APP = """
import sys
import checklist.__main__
from pathlib import Path
from checklist.screens.app import StandclearApp
from checklist.sessions.desk import Desk
StandclearApp(Desk.at(Path(sys.argv[1])))
print(0, *(sorted(m for m in sys.modules if "." not in m)), file=sys.stderr)
"""


def _loaded(code: str, *arguments: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        cwd=CHECKOUT, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=60,
        check=True,
    )  # fmt: skip
    number, *modules = done.stderr.splitlines()[-1].split()

    assert number == "0"
    return set(modules)


def test_calculate_does_not_import_the_screens() -> None:
    """A calculation from the shell loads neither Textual nor what signing needs."""
    modules = _loaded(_LOADED, "calculate", "ladder-set-back", "working-length=20 ft",
                      "set-back=5 ft")  # fmt: skip

    assert "checklist" in modules
    assert modules & {"textual", "cryptography", "numpy", "tinydb", "pydantic"} == set()


def test_opening_the_app_imports_no_more_than_it_needs(tmp_path: Path) -> None:
    """The way to the first screen loads neither click nor cryptography nor numpy."""
    modules = _loaded(_APP, str(tmp_path / "logs"))

    assert "textual" in modules
    assert modules & {"click", "cryptography", "numpy", "tinydb", "pydantic"} == set()


@pytest.mark.parametrize("arguments", [(), ("walk", "tower-work"), ("rehearse", "tower-work")])
def test_no_terminal_names_the_commands(process: Shell, arguments: tuple[str, ...]) -> None:
    """Without a terminal the screens are not started; one sentence names the commands."""
    ran = process(*arguments)

    assert (ran.code, ran.out) == (REFUSED, "")
    assert "standclear walk NAME --plain" in ran.err
    assert ran.err.count("\n") == 1


@pytest.mark.skipif(os.name == "nt", reason="needs a pseudo-terminal")
@pytest.mark.parametrize(("kind", "size"), [("dumb", (24, 80)), ("xterm", (20, 60))])
def test_unfit_terminal_names_the_commands(logs: Path, kind: str, size: tuple[int, int]) -> None:
    """On a dumb or a small terminal nothing is drawn: one sentence, no escape sequence."""
    code, said = _in_terminal([sys.executable, "-m", "checklist"], size, kind)

    assert code == REFUSED
    assert "standclear walk NAME --plain" in said
    assert said.rstrip("\r\n").isprintable()


def _in_terminal(command: list[str], size: tuple[int, int], kind: str) -> tuple[int, str]:
    """Run a command in a pseudo-terminal and return its number and all that it drew."""
    import pty
    import termios

    ours, theirs = pty.openpty()
    termios.tcsetwinsize(theirs, size)
    process = subprocess.Popen(
        command, cwd=CHECKOUT, env={**os.environ, "TERM": kind}, stdin=theirs, stdout=theirs,
        stderr=theirs,
    )  # fmt: skip
    os.close(theirs)
    drawn = b""
    with suppress(OSError):  # how a pseudo-terminal says that its other end is closed
        while piece := os.read(ours, 10_000):
            drawn += piece
    os.close(ours)
    return process.wait(timeout=60), drawn.decode(errors="replace")


_CRASH = """
import sys
import checklist.__main__
from checklist.screens.app import StandclearApp

def crash(app):
    passphrase = "a hill in autumn"
    raise KeyError(1)

StandclearApp.on_mount = crash
sys.exit(checklist.__main__.main([]))
"""


@pytest.mark.skipif(os.name == "nt", reason="needs a pseudo-terminal")
def test_screens_that_fail_show_no_traceback(logs: Path) -> None:
    """A fault in the screens is one sentence with a file's name; no locals, no passphrase."""
    code, said = _in_terminal([sys.executable, "-c", _CRASH], (24, 80), "xterm")
    (kept,) = (logs / "quarantine").iterdir()

    assert code == FAULT
    assert str(kept) in said.replace("\r\n", "")
    assert "Traceback" not in said
    assert "a hill in autumn" not in said + kept.read_text(encoding="utf-8")
    assert "KeyError: 1" in kept.read_text(encoding="utf-8")


def test_closed_streams(logs: Path) -> None:
    """Streams that are closed before the start lead to a sentence or a number, no traceback."""
    program = f"{sys.executable} -m checklist"
    commands = ["rules >&-", "nothing 2>&-", "<&-", "<&- >&- 2>&-"]
    done = [
        subprocess.run(
            ["sh", "-c", f"exec {program} {command}"],
            cwd=CHECKOUT, capture_output=True, text=True, timeout=60, check=False,
        )
        for command in commands
    ]  # fmt: skip

    assert [one.returncode for one in done] == [REFUSED] * len(commands)
    assert all("Traceback" not in one.stderr for one in done)
    assert "the output is closed" in done[0].stderr


def test_reader_that_goes_away(logs: Path) -> None:
    """A closed pipe ends the program quietly, with the number that shells have for it."""
    process = subprocess.Popen(
        [sys.executable, "-m", "checklist", "calculate", "--json"],
        cwd=CHECKOUT, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    said = process.stderr.read()
    process.stderr.close()

    assert process.wait(timeout=60) == CUT_OFF
    assert said == b""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_full_disk_under_the_output(logs: Path) -> None:
    """Output that cannot be written is a sentence and number 2, never a silent success."""
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "checklist", "rules"],
            cwd=CHECKOUT, stdout=full, stderr=subprocess.PIPE, text=True, timeout=60, check=False,
        )  # fmt: skip

    assert done.returncode == REFUSED
    assert "the output cannot be written (No space left on device)" in done.stderr
    assert done.stderr.count("\n") == 1


def test_terminal_that_has_only_ascii(process: Shell) -> None:
    """A terminal without the characters shows their numbers; nothing is refused."""
    ran = process("calculate", "nothing", PYTHONIOENCODING="ascii")
    page = process("calculate", PYTHONIOENCODING="ascii")

    assert ran.code == REFUSED
    assert "\\u201cnothing\\u201d" in ran.err
    assert page.code == FINE


def test_module_is_the_program(process: Shell) -> None:
    """`python -m checklist` is the same program as the command."""
    ran = process("--version")

    assert ran.code == FINE
    assert ran.out.startswith("standclear ")
