"""How far long work is, and Ctrl+C between two words of it."""

from __future__ import annotations

import io
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from checklist.commands import correct, export, progress, receipt, tags
from checklist.commands.progress import SaidProgress, to_the_next_word
from checklist.sessions.desk import Desk
from tests.sessions.pastsessions import desk_at, sealed, walked

Doing = Callable[[Desk, str, Path], object]


@pytest.fixture(autouse=True)
def ctrl_c() -> Iterator[None]:
    """Python has Ctrl+C, also where the tests were started in the background, which ignores it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def _a_receipt(desk: Desk, session_id: str, path: Path) -> object:
    return receipt.give_receipt(desk, desk.logs, None)


def _an_import(desk: Desk, session_id: str, path: Path) -> object:
    return tags.read_other_log(desk, path, as_json=False)


def _an_export(desk: Desk, session_id: str, path: Path) -> object:
    return export.export_session(desk, session_id, path / "out", as_json=False)


def _a_correction(desk: Desk, session_id: str, path: Path) -> object:
    return correct.correct_answer(
        desk, session_id, "words", ["nothing"], reason="misread", person="Tamsin Reed",
        role="worker", instrument="", not_applying="", as_json=False,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("module", "long_work", "doing"),
    [
        (receipt, "receive_folder", _a_receipt),
        (tags, "read_log_at", _an_import),
        (export, "export", _an_export),
        (correct, "outlook", _a_correction),
    ],
    ids=["receipt give", "tags import", "export", "correct"],
)
def test_ctrl_c_is_heard_at_the_next_word(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    module: object,
    long_work: str,
    doing: Doing,
) -> None:
    """Between two words the work goes on; at the next one it ends, as interrupted."""
    desk = desk_at(tmp_path)
    session = walked(desk)
    sealed(desk, session)
    done: list[str] = []

    def work(*given: object) -> None:
        tell = given[-1]
        assert callable(tell)
        tell("entries", 1, 9)
        signal.raise_signal(signal.SIGINT)
        done.append("written whole")
        tell("entries", 2, 9)
        done.append("went on")

    monkeypatch.setattr(module, long_work, work)
    monkeypatch.setattr(receipt, "officer_key", lambda folder: None)
    with pytest.raises(KeyboardInterrupt):
        doing(desk, session.id, tmp_path)

    assert done == ["written whole"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_after_the_last_word_ctrl_c_changes_nothing() -> None:
    """What is done by then is done; the next Ctrl+C is Python's own again."""
    with to_the_next_word() as tell:
        tell("entries", 9, 9)
        signal.raise_signal(signal.SIGINT)
        done = "signed"

    assert done == "signed"
    with pytest.raises(KeyboardInterrupt):
        signal.raise_signal(signal.SIGINT)


def test_a_second_ctrl_c_does_not_wait() -> None:
    """Work that says nothing for long is ended by pressing twice."""
    pressed: list[int] = []

    def press_twice() -> None:
        with to_the_next_word():
            for time in (1, 2):
                pressed.append(time)
                signal.raise_signal(signal.SIGINT)
            pressed.append(3)

    with pytest.raises(KeyboardInterrupt):
        press_twice()

    assert pressed == [1, 2]


def test_it_is_said_after_half_a_second(monkeypatch: pytest.MonkeyPatch) -> None:
    """Quick work says nothing; long work says what, how much of it, and of how many."""
    said = io.StringIO()
    monkeypatch.setattr(sys, "stderr", said)
    quick = SaidProgress()
    quick("entries", 1, 9)
    quick.end()

    assert said.getvalue() == ""

    monkeypatch.setattr(progress, "_QUIET_S", 0)
    long = SaidProgress()
    long("entries\x1b", 2, 9)
    long("from the station file", 0, 0)

    assert said.getvalue().splitlines() == [
        "standclear: entries<U+001B> 2 of 9",
        "standclear: from the station file",
    ]
