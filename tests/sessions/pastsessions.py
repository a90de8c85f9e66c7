"""Real sessions for the tests of review: walked with a small club rule file, with odd texts."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from checklist.record.files.disk import RealDisk
from checklist.record.journals.seal import Signing, seal
from checklist.record.ledgers.ledger import Recorded
from checklist.record.roll.keys import UnlockedKey, keys_of, make_key, unlock
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.sessions.session import Session
from checklist.walk.entry import read_answer
from checklist.walk.events import Clearing
from tests.record.making import FEW_ROUNDS, PASSPHRASE, HandClock

NAME = "odd-mast"
TITLE = "Mast [/x] work [bold]"
"""A title that would act as markup wherever it is not shown as plain text."""

RULES = """\
format: 1
name: odd-mast
title: "Mast [/x] work [bold]"
edition: 2026-11-25
written-for: tests, on an invented hill
about: A small invented rule file for tests.
valid: 8 h
signers: {in charge: 1, worker: 1}
parts:
  - part: on the spot
    title: At the foot
    valid: 8 h
    steps:
      - id: clear
        ask: Is the ground clear?
        confirm: {no: stop}
        clear:
          - do: Clear the ground, and answer again.
            evidence: [Who cleared it]
        why: People stand under what falls.
        sources: [practice]
      - id: tags
        ask: Hang a lock and tag at each point.
        tag: {each: every transmitter}
        clear:
          - do: Hang one, and answer again.
            evidence: [Where it hangs]
        why: Nobody else can switch it on.
        sources: [practice]
      - id: distance
        ask: How far is it to the door?
        reading: {of: length, example: 25 ft, with: tape}
        stop: {below: generator/carbon-monoxide-distance}
        clear:
          - do: Move it, and measure again.
            evidence: [Where to]
        why: Carbon monoxide cannot be smelled.
        sources: [cdc-generator]
      - id: words
        ask: What else is there?
        text: {example: nothing}
        clear:
          - do: Look around, and answer again.
            evidence: [Who looked]
        why: Something always is.
        sources: [practice]
examples:
  - name: all is well
    answers:
      clear: "yes"
      tags: ["breaker 14, lock 3, Tamsin Reed"]
      distance: {reading: 30 ft, with: tape 1}
      words: nothing
    verdict: no stop found
"""


def desk_at(path: Path, clock: HandClock | None = None) -> Desk:
    """Return a desk with a log folder and one club rule file below `path`."""
    club = path / "club-rules" / "checks"
    club.mkdir(parents=True, exist_ok=True)
    (club / f"{NAME}.yaml").write_text(RULES, encoding="utf-8")
    return Desk(path / "logs", RealDisk(), clock or HandClock())


def key_of(desk: Desk, name: str) -> UnlockedKey:
    cards = keys_of(desk.folder, name)
    if cards:
        return unlock(desk.folder, cards[0], PASSPHRASE)
    return make_key(desk.folder, name, PASSPHRASE, rounds=FEW_ROUNDS)


def walked(
    desk: Desk, words: str = "nothing", lock: str = "3", point: str = "breaker 14"
) -> Session:
    """Return a session with every step answered, one after a stop, and everything else once."""
    session = begin(desk, NAME).session
    rules = session.walk.rule_file
    session.answer("clear", read_answer(rules.step("clear"), "no"))
    cleared = Clearing(rules.step("clear").ways[0].do, {"Who cleared it": "Orrin [@click=x]Vale"})
    session.answer("clear", read_answer(rules.step("clear"), "yes"), cleared)
    tag = f"{point}, {lock}, Tamsin Reed"
    session.answer("tags", read_answer(rules.step("tags"), [tag]))
    distance = read_answer(rules.step("distance"), "30 ft", instrument="tape 1")
    session.answer("distance", distance)
    session.answer("words", read_answer(rules.step("words"), words))
    session.note("words", "a note with [/b] in it")
    session.near_miss("wrench fell, nobody hit")
    session.stop_work("thunder heard")
    session.resume_work()
    return session


def sealed(desk: Desk, session: Session, *, absent: str = "") -> Recorded:
    """End a session, signed by Tamsin Reed and, unless absent, by Orrin Vale."""
    signings = [Signing("Tamsin Reed", "in charge", key_of(desk, "Tamsin Reed"))]
    other = None if absent else key_of(desk, "Orrin Vale")
    signings.append(Signing("Orrin Vale", "worker", other))
    verdict = str(session.end().verdict)
    recorded = seal(desk.folder, session.kept_in()[1], verdict=verdict, signings=signings)
    session.close()
    return recorded


def later(desk: Desk, **by: float) -> None:
    """Let time pass at the desk."""
    clock = desk.clock
    assert isinstance(clock, HandClock)
    clock.pass_time(timedelta(**by).total_seconds())
