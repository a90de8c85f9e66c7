"""Past sessions listed and shown from the command line."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from checklist.caution import BANNER
from checklist.commands.exits import FINE, NOT_SHOWN, REFUSED, WRONG
from checklist.record.files.folder import default_log_folder
from tests.commands.conftest import Shell
from tests.record.making import HandClock
from tests.sessions.pastsessions import NAME, TITLE, desk_at, later, sealed, walked

LONG_AGO = datetime(2020, 3, 1, 9, 0, tzinfo=UTC)


@pytest.fixture
def ids(logs: Path) -> list[str]:
    """Fill the log folder: one session sealed, a day later one that lacks a signature."""
    desk = desk_at(logs.parent, HandClock(wall=LONG_AGO))
    first = walked(desk, words="a crow on the boom")
    sealed(desk, first)
    later(desk, days=1)
    second = walked(desk)
    sealed(desk, second, absent="Orrin Vale")
    return [first.id, second.id]


def test_list_is_newest_first_and_old_results_expired(shell: Shell, ids: list[str]) -> None:
    """Old results say that they expired, a missing signature says NOT SEALED."""
    ran = shell("review")
    head, newer, older, *_ = ran.out.splitlines()

    assert ran.code == FINE
    assert head == "2 sessions, as begun, the newest first"
    assert newer.startswith(f"{ids[1][:10]}  2020-03-02 ")
    assert "NOT SEALED: no stop found, expired" in newer
    assert older.startswith(f"{ids[0][:10]}  2020-03-01 ")
    assert "no stop found, expired 1 Mar 2020" in older
    assert BANNER in ran.out


@pytest.mark.parametrize(
    ("arguments", "found"),
    [
        ((), [1, 0]),
        (("crow boom",), [0]),
        (("CROW", "boom"), [0]),
        (("--rule-file", NAME), [1, 0]),
        (("--rule-file", "emergency-power"), []),
        (("--person", "tamsin"), [1, 0]),
        (("--person", "nobody"), []),
        (("--verdict", "no stop found"), [1, 0]),
        (("--verdict", "stopped"), []),
        (("--verdict", "not sealed"), [1]),
        (("--since", "2020-03-02"), [1]),
        (("--until", "2020-03-01"), [0]),
        (("--since", "2020-03-01", "--until", "2020-03-01"), [0]),
        (("--since", "2020-03-03"), []),
    ],
)
def test_filters(
    shell: Shell, ids: list[str], arguments: tuple[str, ...], found: list[int]
) -> None:
    """Text, rule file, person, verdict and days each narrow the list; days are inclusive."""
    data = shell("review", *arguments, "--json").data

    assert [session["session"] for session in data["sessions"]] == [ids[i] for i in found]


def test_nothing_fits(shell: Shell, ids: list[str]) -> None:
    """A search without a result says so, and differs from an empty log."""
    assert "No session fits what was asked." in shell("review", "no such words").out


def test_show_prints_everything(shell: Shell, ids: list[str]) -> None:
    """One session by the beginning of its name: answers, stop and evidence, signatures."""
    ran = shell("show", ids[0][:6])

    assert ran.code == FINE
    for text in (TITLE, ids[0], "a crow on the boom", "30 ft", "Tamsin Reed", "Orrin Vale",
                 "Clear the ground, and answer again.", "wrench fell, nobody hit"):  # fmt: skip
        assert text in ran.out
    assert ran.out.count(BANNER) == 1


def test_show_is_loud_about_a_missing_signature(shell: Shell, ids: list[str]) -> None:
    """A session that lacks a signature says NOT SEALED and whose signature is missing."""
    out = shell("show", ids[1]).out

    assert "NOT SEALED" in out
    assert "Orrin Vale (worker) is MISSING" in out


def test_show_as_json(shell: Shell, ids: list[str]) -> None:
    """The document holds the session whole, with the caution, and no number that is inexact."""
    data = shell("show", ids[0], "--json").data

    assert data["session"] == ids[0]
    assert data["verdict"] == "no stop found"
    assert [s["outcome"] for s in data["signatures"]] == ["holds", "holds"]
    assert BANNER in data["caution"]


def test_changed_session_is_shown_and_counts_as_wrong(
    shell: Shell, logs: Path, ids: list[str]
) -> None:
    """A session file that was changed is still shown, said to be changed, with number 1."""
    path = logs / "sessions" / f"{ids[0]}.jsonl"
    path.write_bytes(path.read_bytes().replace(b"crow", b"dove"))
    ran = shell("show", ids[0])

    assert ran.code == WRONG
    assert "DAMAGED OR NOT READ" in ran.out
    assert "Tamsin Reed" in ran.out


def test_damaged_ledger_makes_the_list_uncertain(shell: Shell, logs: Path, ids: list[str]) -> None:
    """Where the ledger cannot be read whole, the list says so and ends with number 3."""
    entry = sorted((logs / "ledger").iterdir())[0]
    entry.write_bytes(b"nothing\n")
    ran = shell("review")

    assert ran.code == NOT_SHOWN
    assert "Could not be read" in ran.out
    assert ids[1][:10] in ran.out


def test_escapes_in_what_was_typed_do_not_reach_the_terminal(shell: Shell, logs: Path) -> None:
    """Text that was kept with escapes by other means is shown as code points, JSON as ASCII."""
    desk = desk_at(logs.parent, HandClock(wall=LONG_AGO))
    session = walked(desk, words="a crow")
    sealed(desk, session)
    path = logs / "sessions" / f"{session.id}.jsonl"
    path.write_bytes(path.read_bytes().replace(b"a crow", rb"\u001b]52;c;AAAA\u0007"))
    pages = [shell("show", session.id), shell("review", "--json"), shell("show", session.id,
                                                                          "--json")]  # fmt: skip

    assert all(line.isprintable() for line in pages[0].out.splitlines())
    assert "U+001B" in pages[0].out
    assert all(page.out.isascii() and page.data for page in pages[1:])


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("show", "12"), "too short for the name of a session"),
        (("show", "zzzzzzzz"), "no session's name begins with"),
        (("show", "../../etc/passwd"), "no session's name begins with"),
        (("show", "\x1b[31m-red-"), "<U+001B>"),
        (("review", "--verdict", "safe"), "is nothing that a session comes to"),
        (("review", "--logs", "/nonexistent/logs"), "nothing is there"),
        (("show", "abcdef", "--logs", "/dev/null"), "device or pipe"),
        (("review", "--logs", "/"), "it holds no folder named sessions"),
    ],
)
def test_what_cannot_be_looked_up_is_one_sentence(
    shell: Shell, ids: list[str], arguments: tuple[str, ...], said: str
) -> None:
    """A name, a verdict or a folder that is none is one sentence and number 2."""
    ran = shell(*arguments)

    assert (ran.code, ran.out) == (REFUSED, "")
    assert said in ran.err
    assert ran.err.count("\n") == 1


def test_looking_makes_no_folder(shell: Shell, logs: Path) -> None:
    """Looking something up in a folder that is not there does not make it."""
    shell("review")
    shell("show", "abcdef")

    assert not logs.exists()


def test_first_start_has_no_sessions(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a fresh machine the list is empty and says so; that is no error."""
    monkeypatch.delenv("STANDCLEAR_LOGS")
    monkeypatch.setattr("checklist.sessions.desk.default_log_folder", lambda: tmp_path / "new")
    monkeypatch.setattr("checklist.commands.review.default_log_folder", lambda: tmp_path / "new")
    ran = shell("review")

    assert default_log_folder() != tmp_path / "new"
    assert ran.code == FINE
    assert "No session is kept here yet." in ran.out
    assert shell("show", "abcdef").code == REFUSED
    assert not (tmp_path / "new").exists()
