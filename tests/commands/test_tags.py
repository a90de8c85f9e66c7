"""Tags from the shell: listed, hung, taken off, handed over, imported and printed."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from checklist.commands.exits import FINE, NOT_SHOWN, REFUSED
from checklist.sessions.tagging.tags import AT_THE_POINT
from tests.commands.conftest import Ran, Shell

WORDS = "four plain words here"
HANG = ("tags", "hang", "--point", "breaker 14", "--why", "rotator", "--until", "8 h")


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Give the passphrase of everybody, as a script does."""
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{WORDS}\n" * 4))


def hang(shell: Shell, lock: str = "5", person: str = "Wren Holloway", *more: str) -> Ran:
    return shell(*HANG, "--lock", lock, "--person", person, *more)


def test_tag_is_hung_and_listed(shell: Shell) -> None:
    """What was hung stands in the list with its age, and the list says who decides."""
    hang(shell, "5", "Zoë [/b] O’Hara")
    listed = shell("tags")

    assert listed.code == FINE
    assert "breaker 14, lock 5, Zoë [/b] O’Hara, 0 min" in listed.out
    assert AT_THE_POINT in listed.out
    assert "No other laptop's log was read here" in listed.out


def test_list_as_data(shell: Shell) -> None:
    """The same as one JSON document, also for one point alone."""
    hang(shell)
    data = shell("tags", "--json", "--point", "BREAKER 14").data

    assert [(t["point"], t["lock"], t["in-ledger"]) for t in data["tags"]] == [
        ("breaker 14", "5", True)
    ]
    assert shell("tags", "--json", "--point", "plug 2").data["tags"] == []
    assert data["note"] == AT_THE_POINT


def test_damaged_entry_is_not_shown(shell: Shell, logs: Path) -> None:
    """Where part of the record cannot be read the list says so, and the number is 3."""
    hang(shell)
    (logs / "ledger" / "00000001.note").write_bytes(b"spoilt")
    listed = shell("tags")

    assert listed.code == NOT_SHOWN
    assert "00000001.note" in listed.out


def test_applier_takes_it_off(shell: Shell, typed: None) -> None:
    """With the applier's passphrase and a count it is off; the list is empty then."""
    hang(shell)
    off = shell("tags", "take-off", "5", "--locks-left", "0")

    assert (off.code, off.err) == (FINE, "")
    assert "The tag is off: entry 2." in off.out
    assert "No tag hangs by these logs." in shell("tags").out


def test_without_a_passphrase_nothing_comes_off(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An empty line stands for nobody: refused in one sentence."""
    monkeypatch.setattr("sys.stdin", io.StringIO("\n"))
    hang(shell)
    off = shell("tags", "take-off", "5", "--locks-left", "0")

    assert off.code == REFUSED
    assert "has not signed" in off.err
    assert "lock 5" in shell("tags").out


@pytest.mark.parametrize("missing", ["absent", "contact", "told"])
@pytest.mark.parametrize("text", [None, "", "..."])
def test_removal_needs_all_three_facts(
    shell: Shell, typed: None, missing: str, text: str | None
) -> None:
    """29 CFR 1910.147(e)(3): with a fact left out, or saying nothing, the tag stays."""
    hang(shell)
    facts = {"absent": "gate book", "contact": "called twice", "told": "by phone before"}
    given = {name: said for name, said in facts.items() if name != missing or text is not None}
    if text is not None:
        given[missing] = text
    words = [word for name, said in given.items() for word in (f"--{name}", said)]
    people = ("--by", "Tamsin Reed", "--second", "Orrin Vale", "--locks-left", "0")
    refused = shell("tags", "remove", "5", *people, *words)

    assert refused.code == REFUSED
    assert "lock 5" in shell("tags").out


def test_removal_by_another(shell: Shell, typed: None) -> None:
    """With facts and two people it is off, and the command says to tell the applier."""
    hang(shell)
    facts = ("--absent", "gate book", "--contact", "called twice", "--told", "by phone before")
    people = ("--by", "Tamsin Reed", "--second", "Orrin Vale", "--as", "safety officer")
    off = shell("tags", "remove", "5", *people, *facts, "--locks-left", "0")

    assert (off.code, off.err) == (FINE, "")
    assert "Tell Wren Holloway before any work goes on." in off.out


def test_shift_changes(shell: Shell, typed: None) -> None:
    """The new lock hangs and the old one is off; without a lock counted nothing changes."""
    hang(shell)
    new = ("tags", "relieve", "5", "--person", "Tamsin Reed", "--lock", "9", "--until", "8 h")
    refused = shell(*new, "--locks", "0")
    before = shell("tags", "--json").data["tags"]
    done = shell(*new, "--locks", "1")

    assert refused.code == REFUSED
    assert [tag["lock"] for tag in before] == ["5"]
    assert done.code == FINE
    assert [tag["lock"] for tag in shell("tags", "--json").data["tags"]] == ["9"]


def test_log_of_another_laptop(shell: Shell, tmp_path: Path) -> None:
    """A tag hung on one laptop is listed on another once its log is imported."""
    other = str(tmp_path / "other")
    hang(shell, "5", "Wren Holloway", "--logs", other)
    hang(shell, "6", "Tamsin Reed")
    done = shell("tags", "import", other)

    assert (done.code, done.err) == (FINE, "")
    assert "entries about tags: 1" in done.out
    assert [tag["lock"] for tag in shell("tags", "--json").data["tags"]] == ["5", "6"]


@pytest.mark.parametrize(
    "arguments",
    [
        ("tags", "take-off", "nothing", "--locks-left", "0"),
        ("tags", "import", "/nowhere/at/all"),
        ("tags", "print", "nothing"),
        ("tags", "hang", "--point", "x"),
        (*HANG, "--lock", "5", "--person", "Wren\x1b[31m"),
    ],
)
def test_refusals_are_one_sentence(shell: Shell, arguments: tuple[str, ...]) -> None:
    """What cannot be done is one line on stderr without an escape in it, and number 2."""
    refused = shell(*arguments)

    assert refused.code == REFUSED
    assert len(refused.err.splitlines()) == 1
    assert "\x1b" not in refused.err


def test_page_is_printed_or_written(shell: Shell, tmp_path: Path) -> None:
    """The page goes to the printer as text, or into a new file as a picture."""
    hang(shell)
    text = shell("tags", "print", "5").out
    path = tmp_path / "tag.svg"
    written = shell("tags", "print", "5", "--svg", str(path), "--paper", "a4")

    assert "Hung by Wren Holloway." in text
    assert written.code == FINE
    assert 'width="297.0mm"' in path.read_text(encoding="utf-8")
