"""A walk line by line: the same record as on the screens, with nothing drawn."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.record.verifying.verify import verify
from checklist.sessions.desk import Desk
from tests.commands.answering import lines_of, typing
from tests.commands.conftest import Shell

WORDS = "four plain words here"
SIGNED = ["y", "", WORDS, "", WORDS]
"""Everybody agrees; the two names that are suggested, each with a passphrase."""

CREW = ["Wren Holloway", "Tamsin Reed"]


def _example(logs: Path, name: str, number: int = 0) -> list[str]:
    loaded = Desk.at(logs).library.load(name)
    return lines_of(loaded.rule_file, loaded.book, loaded.rule_file.examples[number])


@pytest.mark.parametrize(
    "name", ["tower-work", "emergency-power", "inside-equipment", "release", "field-event"]
)
def test_a_whole_walk_is_sealed_and_verifies(
    name: str, shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The example where all is in order, typed line by line, ends sealed; every check holds."""
    typing(monkeypatch, [*_example(logs, name), *SIGNED])
    ran = shell("walk", name, "--plain")
    report = verify(Desk.at(logs).folder)

    assert ran.code == FINE, ran.out[-2000:] + ran.err
    assert "Sealed and on disk: entry " in ran.out
    assert not [c for c in report.checks if str(c.outcome) == "fails"]
    assert WORDS not in ran.out + ran.err


def test_a_station_file_is_worked_out(
    shell: Shell, logs: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The path of a station file is an answer: a wrong one is said, the right one is evaluated."""
    file = tmp_path / "station.yaml"
    shell("station", "new", str(file))
    loaded = Desk.at(logs).library.load("exposure-review")
    lines = lines_of(loaded.rule_file, loaded.book, loaded.rule_file.examples[0])
    before = lines[: lines.index("far-field")]
    typing(monkeypatch, [*before, "here", f"{file}.gone", str(file)])
    ran = shell("walk", "exposure-review", "--plain")

    assert "there is no such file" in ran.out
    assert "Working it out: from the station file" in ran.out
    assert "station file station.yaml, SHA-256" in ran.out
    assert [path.read_bytes() for path in (logs / "attachments").iterdir()].count(file.read_bytes())
    assert ran.code == NOT_SHOWN


def test_a_walk_that_ends_in_the_middle_is_gone_on_with(
    shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the end of the input what was answered stays; `go-on` takes it up at the same step."""
    lines = _example(logs, "emergency-power")
    typing(monkeypatch, lines[:4])
    left = shell("walk", "emergency-power", "--plain")
    told = shell("now", "--json").data["unfinished"]
    typing(monkeypatch, [*lines[4:], *SIGNED])
    done = shell("go-on", told[0]["session"][:8])

    assert left.code == NOT_SHOWN
    assert f"standclear go-on {told[0]['session'][:8]}" in left.out
    assert done.code == FINE, done.out[-2000:] + done.err
    assert shell("now", "--json").data["unfinished"] == []


def test_a_stop_without_an_answer_is_asked_about_and_ends_as_stopped(
    shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cord into an outlet is asked about once more; meant, it stops and is sealed as stopped."""
    rest = _example(logs, "emergency-power")
    typing(monkeypatch, [*CREW, "4", "n", "4", "y", "finish", *SIGNED, *rest])
    ran = shell("walk", "emergency-power", "--plain")

    assert ran.out.count("Is it really so?") == 2
    assert "Nothing answers this stop" in ran.out
    assert ran.code == WRONG, ran.out[-1500:] + ran.err
    assert "The verdict is: stopped." in ran.out


def test_a_cleared_stop_asks_for_its_evidence(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One person in two roles stops; a second person answers it, with the evidence named."""
    first = ["Wren Holloway", "Wren Holloway"]
    typing(monkeypatch, [*first, "back", "Wren Holloway", "Tamsin Reed", "she came at ten"])
    ran = shell("walk", "emergency-power", "--plain")

    assert "STOP. " in ran.out
    assert "How was this stop answered?" in ran.out
    assert "no stop stands" in ran.out.rpartition("How was this stop answered?")[2]


def test_help_comes_at_every_question(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    """`hurt` at a question for a name prints the choice and what to do; the question stands."""
    typing(monkeypatch, ["hurt", "1", "Wren Holloway", "HURT", "3"])
    ran = shell("walk", "emergency-power", "--plain")

    assert "Type 1 for: Electric shock." in ran.out
    assert "POWER OFF FIRST" in ran.out
    assert "DO NOT GO IN" in ran.out
    assert ran.code == NOT_SHOWN


@pytest.mark.parametrize(
    ("order", "said"),
    [
        ("why", "Source: "),
        ("more", "near miss: report that"),
        ("steps", "1. open: Who is in charge"),
        ("finish", "steps are open. The first: Who is in charge"),
    ],
)
def test_orders(shell: Shell, monkeypatch: pytest.MonkeyPatch, order: str, said: str) -> None:
    """What can be typed instead of an answer does what the list says, and asks again."""
    typing(monkeypatch, [order, ""])
    ran = shell("walk", "emergency-power", "--plain")

    assert said in ran.out
    assert ran.out.count("Step 1 of ") == 2


def test_a_stop_of_work_waits_until_it_goes_on(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After `stop work` and its reason nothing is asked until `go on` is typed."""
    typing(monkeypatch, ["stop work", "thunder heard", "yes", "go on"])
    ran = shell("walk", "emergency-power", "--plain")

    assert ran.out.count("The work is stopped.") == 2
    assert "The work goes on." in ran.out


def test_wrong_input_is_one_sentence_and_asked_again(
    shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A number without a unit is refused with what would be right, and asked again."""
    lines = _example(logs, "tower-work")
    at = lines.index("8 mph")
    typing(monkeypatch, [*lines[:at], "8", "8 mph", "gauge 3"])
    ran = shell("rehearse", "tower-work", "--plain")

    assert "has no unit" in ran.out
    assert "= 8 mph" in ran.out or "8.000 mph" in ran.out


@pytest.mark.parametrize("word", ["does not apply", "N/A"])
@pytest.mark.parametrize(
    ("name", "step"),
    [("station-bonding", "network"), ("tower-work", "ground-locks"), ("release", "ground-fault")],
)
def test_a_step_of_any_kind_is_set_aside_by_the_same_words(
    name: str, step: str, word: str, shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A station file, locks and a yes or no: either word asks why, and is kept as that."""
    examples = Desk.at(logs).library.load(name).rule_file.examples
    number = next(
        n for n, one in enumerate(examples) if "does not apply" in str(one.answers.get(step))
    )
    lines = _example(logs, name, number)
    at = lines.index("does not apply")
    typing(monkeypatch, [*lines[:at], word, lines[at + 1]])
    ran = shell("rehearse", name, "--plain")

    assert f"does not apply: {lines[at + 1]}" in ran.out


@pytest.mark.parametrize("word", ["?", "unknown", "Don't know"])
def test_a_yes_or_no_and_a_reading_are_not_known_by_the_same_words(
    word: str, shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is typed at a list of answers, at a reading and at a name is kept as don't know."""
    lines = _example(logs, "tower-work")
    wind = lines.index("8 mph")
    typing(monkeypatch, [*lines[:wind], word, word])
    reading = shell("rehearse", "tower-work", "--plain")
    typing(monkeypatch, [*CREW, word, word])
    others = shell("rehearse", "emergency-power", "--plain")

    assert reading.out.count("Rehearsed: don't know.") == 1
    assert others.out.count("Rehearsed: don't know.") == 2


def test_the_second_walk_offers_the_first(
    shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`=` takes what was given the last time; nothing is taken by Enter alone, and no reading."""
    lines = _example(logs, "emergency-power")
    typing(monkeypatch, [*lines, *SIGNED])
    shell("walk", "emergency-power", "--plain")
    typing(monkeypatch, ["", "=", "="])
    ran = shell("walk", "emergency-power", "--plain")

    assert "it was: Wren Holloway. = takes that" in ran.out
    assert "this is needed" in ran.out
    assert "Saved at" in ran.out


def test_a_missing_signature_is_given_later(
    shell: Shell, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An empty passphrase leaves the session NOT SEALED; `sign` takes the signature later."""
    lines = _example(logs, "emergency-power")
    typing(monkeypatch, [*lines, "y", "", WORDS, "", ""])
    ran = shell("walk", "emergency-power", "--plain")
    waiting = shell("now", "--json").data["not-sealed"]
    typing(monkeypatch, [WORDS])
    late = shell("sign", waiting[0]["session"][:8])

    assert ran.code == NOT_SHOWN
    assert "NOT SEALED. Missing: " in ran.out
    assert late.code == FINE
    assert shell("now", "--json").data["not-sealed"] == []


def test_giving_up_needs_a_reason_and_stays_in_the_record(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`give-up` takes the walk from what is unfinished; its reason is kept."""
    typing(monkeypatch, CREW)
    shell("walk", "emergency-power", "--plain")
    session_id = shell("now", "--json").data["unfinished"][0]["session"]
    refused = shell("give-up", session_id[:8])
    done = shell("give-up", session_id[:8], "--reason", "rain came")

    assert refused.code == 2
    assert done.code == FINE
    assert shell("now", "--json").data["unfinished"] == []
    assert "rain came" in shell("show", session_id[:8]).out


def test_a_photo_is_kept_with_the_step(
    shell: Shell, logs: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`photo` and a path, quoted as a terminal drops it, keeps the file; a wrong one is said."""
    (tmp_path / "the plate.jpg").write_bytes(b"not really a picture")
    paths = [
        f"'{tmp_path}/the plate.jpg'",
        str(tmp_path / "none.jpg"),
        "~nobody-of-that-name/x",
        "",
    ]
    typing(monkeypatch, [line for path in paths for line in ("photo", path)])
    ran = shell("walk", "emergency-power", "--plain")
    kept = list((logs / "attachments").iterdir())

    assert "the plate.jpg is kept, 20 bytes." in ran.out
    assert "there is no such file" in ran.out
    assert "this is no path" in ran.out
    assert [file.read_bytes() for file in kept] == [b"not really a picture"]
    assert ran.code == NOT_SHOWN
    assert "photo: keep a photo or paper with this step" not in ran.out
