"""Audit, correct and export from the shell: whole sentences, JSON, and distinct exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from checklist.commands.audit import audit_folders
from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.export import export_session
from checklist.commands.typed.program import run_line
from tests.audit.logs import finished, sealed_ids


def line(*arguments: str) -> int:
    return run_line(arguments, lambda desk, name, rehearsal: FINE)


def test_a_sound_folder_ends_as_not_shown(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing fails, and as no officer vouches for anybody the number is 3, never 0."""
    logs = finished(tmp_path).logs

    assert line("audit", str(logs), "--logs", str(tmp_path / "none")) == NOT_SHOWN
    text = capsys.readouterr().out
    assert "CANNOT TELL" in text
    assert "WHAT THIS CANNOT CATCH" in text
    assert not (tmp_path / "none").exists()


def test_a_changed_folder_ends_as_wrong_in_json_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One of two folders was changed: the number is 1, and the finding names the folder."""
    one, two = finished(tmp_path / "one"), finished(tmp_path / "two")
    path = next(p for p in two.logs.glob("sessions/*.jsonl") if b"wrench fell" in p.read_bytes())
    path.write_bytes(path.read_bytes().replace(b"wrench fell", b"wrench flew"))

    assert (
        audit_folders(one, [one.logs, two.logs], recompute=False, officer="", as_json=True) == WRONG
    )
    data = json.loads(capsys.readouterr().out)
    assert {f["folder"] for f in data["findings"] if f["outcome"] == "fails"} == {str(two.logs)}
    assert data["overall"] == "fails"
    assert data["cannot-catch"]


def test_a_correction_from_the_shell(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The command takes the answer as the walk does, and prints both results."""
    import io

    from tests.record.making import PASSPHRASE

    desk = finished(tmp_path)
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{PASSPHRASE}\n"))
    session = sealed_ids(desk)[0][:8]
    number = line(
        "correct", session, "distance", "10 ft", "--with", "tape 1", "--reason", "misread",
        "--by", "Tamsin Reed", "--logs", str(desk.logs),
    )  # fmt: skip

    assert number == FINE
    text = capsys.readouterr().out
    assert "The result was “no stop found” and is now “stopped”." in text


def test_an_export_from_the_shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The command names the folder and the page with the steps."""
    desk = finished(tmp_path)

    assert export_session(desk, sealed_ids(desk)[0][:8], tmp_path / "out", as_json=False) == FINE
    assert "HOW-TO-CHECK.txt" in capsys.readouterr().out
    assert (tmp_path / "out" / "SHA256SUMS").is_file()
