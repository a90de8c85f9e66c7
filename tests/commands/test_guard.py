"""Whatever goes wrong ends as one sentence and a number."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist import __main__ as program
from checklist.commands.exits import CUT_OFF, FAULT, FINE, INTERRUPTED, REFUSED
from checklist.commands.guard import guarded
from checklist.commands.output import ReaderGone
from checklist.errors import StandclearError
from tests.commands.conftest import Shell


def _raises(error: BaseException) -> int:
    raise error


def test_own_errors_are_their_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An error of the program's own is its sentence on stderr, escapes written out."""
    error = StandclearError("it is \x1b[31mred", where="here", right="Make it blue.")
    code = guarded(lambda: _raises(error), lambda: tmp_path)
    out, err = capsys.readouterr()

    assert (code, out) == (REFUSED, "")
    assert err == "standclear: here: it is <U+001B>[31mred. Make it blue.\n"


def test_unexpected_error_goes_to_quarantine(
    shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An unexpected error is one sentence that names a file, and the file has the traceback."""
    monkeypatch.setattr(program, "_run", lambda arguments: _raises(KeyError("\x1b]0;x\x07")))
    ran = shell("rules")
    (kept,) = (logs / "quarantine").iterdir()

    assert (ran.code, ran.out) == (FAULT, "")
    assert ran.err.count("\n") == 1
    assert str(kept) in ran.err
    assert "Traceback" not in ran.err
    assert "KeyError" in kept.read_text(encoding="utf-8")
    assert kept.stat().st_mode & 0o077 == 0


def test_unexpected_error_without_a_log_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the log folder is the very thing that fails, the traceback is kept elsewhere."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    code = guarded(lambda: _raises(ValueError("x")), lambda: tmp_path / "missing")
    (kept,) = tmp_path.iterdir()

    assert code == FAULT
    assert str(kept) in capsys.readouterr().err


def test_interrupt_inside_a_command(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    """The interrupt key during a command is told apart from every result of it."""
    monkeypatch.setattr(
        "checklist.commands.rules.list_rules", lambda *_, **__: _raises(KeyboardInterrupt())
    )
    ran = shell("rules")

    assert (ran.code, ran.out) == (INTERRUPTED, "")
    assert ran.err.strip() == "standclear: interrupted."


def test_interrupt_and_broken_pipe(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The interrupt key and a reader that goes away have numbers of their own, as in shells."""
    assert guarded(lambda: _raises(KeyboardInterrupt()), lambda: tmp_path) == INTERRUPTED
    assert guarded(lambda: _raises(ReaderGone()), lambda: tmp_path) == CUT_OFF
    assert guarded(lambda: FINE, lambda: tmp_path) == FINE
    assert "Traceback" not in capsys.readouterr().err
