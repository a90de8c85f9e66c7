"""What the answers of a session tell the officer: stops, what was set aside, what is unverified."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Literal

import pytest

from checklist.audit.auditing import _check_rules
from checklist.audit.chain import Chain
from checklist.audit.content import check_content
from checklist.audit.report import Tally
from checklist.rulebook import Book, Cited, Standing
from checklist.rulebook.values import Replaced, Strictness
from checklist.rulefile import Effect, Verdict
from checklist.sessions.desk import Desk
from checklist.sessions.library import RULE_FILE, Loaded
from checklist.walk.answers import DONT_KNOW, Answer, DoesNotApply, Said, Written
from checklist.walk.events import Answered, Clearing, Closed, Event
from checklist.walk.judge import Judgement
from tests.sessions.pastsessions import NAME, desk_at

AT = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
STOPS = Judgement(Effect.STOP, ("answered no",))
CLEAR = Judgement(Effect.CLEAR)
GONE = Clearing("Clear the ground, and answer again.", {"Who cleared it": "Orrin Vale"})


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return desk_at(tmp_path_factory.mktemp("content"))


@pytest.fixture(scope="module")
def loaded(desk: Desk) -> Loaded:
    return desk.library.load(NAME)


def answered(
    step: str, answer: Answer, judgement: Judgement = CLEAR, clearing: Clearing | None = None
) -> Answered:
    return Answered(step, answer, judgement, AT, {}, clearing)


def found(loaded: Loaded | None, verdict: str, *events: Event) -> dict[str, list[tuple[str, str]]]:
    """Return outcome and sentence of each finding, by its check."""
    tally = Tally("folder")
    check_content(events, loaded, verdict, "a" * 32, tally)
    return {
        check: [
            (f.outcome.value, f.sentence)
            for (name, _), rows in tally.listed.items()
            if name == check
            for f in rows
        ]
        for check in {name for name, _ in tally.counts}
    }


@pytest.mark.parametrize(
    ("reason", "outcome", "says"),
    [
        ("no transmitter is near", "holds", "set aside as not applying: no transmitter is near"),
        ("...", "warning", "set aside as not applying: no reason was given"),
        ("", "warning", "no reason was given"),
    ],
)
def test_what_was_set_aside_is_told_with_its_reason(
    loaded: Loaded, reason: str, outcome: str, says: str
) -> None:
    """A step that does not apply is listed with its reason; without one it is a warning."""
    rows = found(loaded, "", answered("words", DoesNotApply(reason)))

    [(was, sentence)] = rows["set aside"]
    assert was == outcome
    assert says in sentence


def test_what_nobody_knew_is_a_warning(loaded: Loaded) -> None:
    """Don't know shows nothing, and stands there with its question."""
    [(outcome, sentence)] = found(loaded, "", answered("clear", DONT_KNOW, STOPS))["not known"]

    assert outcome == "warning"
    assert "Is the ground clear?" in sentence


@pytest.mark.parametrize(
    ("events", "verdict", "outcome", "says"),
    [
        ([("no", STOPS, None), ("yes", CLEAR, GONE)], "no stop found", "holds",
         "was answered by: Clear the ground"),
        ([("no", STOPS, None), ("yes", CLEAR, None)], "no stop found", "fails",
         "later does not, without any evidence"),
        ([("no", STOPS, None)], "no stop found", "fails", "the session ended as “no stop found”"),
        ([("no", STOPS, None)], "no stop found, with cautions", "fails", "the session ended as"),
        ([("no", STOPS, None)], "stopped", "holds", "the session ended as stopped"),
        ([("no", STOPS, None)], "", "warning", "the session came to no verdict"),
    ],
)  # fmt: skip
def test_each_stop_is_told_with_how_it_was_answered(
    loaded: Loaded,
    events: list[tuple[Literal["yes", "no"], Judgement, Clearing | None]],
    verdict: str,
    outcome: str,
    says: str,
) -> None:
    """A stop that nothing answers never stands under a verdict that knows of none."""
    rows = found(loaded, verdict, *(answered("clear", Said(w), j, c) for w, j, c in events))

    [(was, sentence)] = rows["stops"]
    assert was == outcome
    assert says in sentence


def test_values_from_memory_and_laxer_club_values_are_warnings(loaded: Loaded) -> None:
    """Each is named once, with its value; a stricter club value is none."""
    shipped = cited(loaded.book)
    memory = replace(shipped, standing=Standing.MEMORY, means="a value from memory")
    before = Replaced(
        shipped.value, shipped.citation, Strictness.LAXER, "Wren Holloway", "2026-11-25"
    )
    laxer = replace(shipped, means="a club's distance", replaced=before)
    stricter = replace(
        laxer, means="a longer one", replaced=replace(before, strictness=Strictness.STRICTER)
    )
    judged = Judgement(Effect.CLEAR, used=(memory, laxer, stricter, shipped))
    rows = found(loaded, "", answered("words", Written("x"), judged), answered(
        "words", Written("y"), judged))["values"]  # fmt: skip

    assert [outcome for outcome, _ in rows] == ["warning", "warning"]
    assert any("unverified value: a value from memory" in sentence for _, sentence in rows)
    assert any("club value: a club's distance" in sentence for _, sentence in rows)


def test_a_verdict_that_does_not_follow_from_the_answers_fails(loaded: Loaded) -> None:
    """A stop under “no stop found”, a step left open, and rules that cannot be read."""
    closed = Closed(Verdict.NO_STOP, AT + timedelta(minutes=1))
    stopped = found(loaded, "no stop found", answered("clear", Said("no"), STOPS), closed)
    unread = found(None, "no stop found", answered("clear", Said("yes")), closed)
    open_step = found(loaded, "no stop found", answered("clear", Said("yes")), closed)

    assert stopped["verdict"][0][0] == "fails"
    assert "the answers come to “stopped”" in stopped["verdict"][0][1]
    assert unread["verdict"][0][0] == "cannot tell"
    assert open_step["verdict"][0][0] == "fails"


def test_rule_files_as_used_are_held_against_those_at_hand(desk: Desk, loaded: Loaded) -> None:
    """The same text holds; another text, or a file that is not here, is a warning by its name."""
    sha256 = loaded.hashes()[RULE_FILE]
    tally = Tally("folder")
    chain = Chain(tally)
    chain.rules = {
        (sha256, "2026-11-25", NAME): 1,
        ("0" * 64, "2026-01-01", NAME): 2,
        ("1" * 64, "2026-01-01", "nobody-has-this"): 3,
    }
    _check_rules(desk, chain, tally)
    rows = {f.entry: f.sentence for found in tally.listed.values() for f in found}

    assert {o.value: n for (_, o), n in tally.counts.items()} == {"holds": 1, "warning": 2}
    assert "was used in another text" in rows[2]
    assert "no rule file that is at hand here" in rows[3]


def cited(book: Book) -> Cited:
    return book.value("generator/carbon-monoxide-distance").cited
