"""The second walk of two people: what the record offers, and how little is left to type."""

from __future__ import annotations

from typing import Any

from textual.pilot import Pilot

from checklist.record.journals.seal import Signing
from checklist.record.verifying.verify import verify
from checklist.rulefile import Reading
from checklist.screens.app import StandclearApp
from checklist.screens.walking.entries import Chosen, Keys
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.screens.walking.sign import AskSigner, SignScreen
from checklist.screens.walking.walk import WalkScreen
from checklist.sessions.closing import seal_walk
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.sessions.remember import remember
from checklist.walk.answers import Answer
from checklist.walk.entry import read_answer
from checklist.walk.wording import answer_text
from tests.record.making import PASSPHRASE, person
from tests.screens.driving import _values, text_of, until, wait_for

SIZE = (80, 24)
MOST = 30
"""Inputs of a second walk: keys and fields typed, offers taken, passphrases."""


def first_walk(desk: Desk) -> dict[str, Answer]:
    """Walk the tower file to its seal, the registers filled on the way; return its answers."""
    session = begin(desk, "tower-work").session
    rules = session.walk.rule_file
    while (state := session.progress().next_open) is not None:
        typed = rules.examples[0].answers[state.step.id]
        uses = isinstance(state.step.kind, Reading) and state.step.kind.instrument
        answer = read_answer(state.step, typed, instrument=f"{uses} 2" if uses else "")
        session.answer(state.step.id, answer)
        remember(desk.folder, state.step, answer)
    signers = {"in charge": "Wren Holloway", "helper": "Corin Ashby", "worker": "Tamsin Oakes"}
    ready = [
        Signing(signers[role], str(role), person(desk.folder, signers[role]))
        for role in rules.signers
    ]
    seal_walk(session, ready)
    return {e.step: e.answer for e in session.walk.events}  # type: ignore[union-attr]  # all answered


async def answered(pilot: Pilot[None], screen: WalkScreen, typed: Any) -> int:
    """Answer the step at hand, taking every offer; return how many inputs it took."""
    entry = screen.query_one("#entry")
    inputs = 1
    if entry.query(Keys):
        entry.query_one(Keys).post_message(Chosen(str(typed)))
    else:
        inputs = await _filled(pilot, entry.query_one(Form), screen.state.step.kind, typed)
    count = len(screen.session.walk.events)
    await until(pilot, lambda: len(screen.session.walk.events) > count)
    await until(
        pilot, lambda: not any(w.is_running and w.node is screen for w in pilot.app.workers)
    )
    return inputs


async def _filled(pilot: Pilot[None], form: Form, kind: Any, typed: Any) -> int:
    inputs = 0
    for _ in range(12):
        if not any(r.row.offer and not r.text for r in form.query(FormRow)):
            break
        await form.action_take_offer()
        await pilot.pause()
        inputs += 1
    for name, value in _values(kind, typed).items():
        for row in form.query(FormRow):
            if row.row.name == name and not row.text and isinstance(value, str):
                row.query_one(Field).value = value
                inputs += 1
    form.submit()
    return inputs


async def test_a_second_walk_takes_at_most_thirty_inputs(desk: Desk) -> None:
    """Offers taken with one key, readings typed anew: the same answers, sealed, in 30 inputs.

    Nothing is filled in by itself but the instrument of the register; the offer names its day.
    """
    before = first_walk(desk)
    example = desk.library.load("tower-work").rule_file.examples[0]
    app = StandclearApp(desk, begin="tower-work")
    async with app.run_test(size=SIZE) as pilot:
        screen = await wait_for(pilot, WalkScreen)
        inputs, offered = 0, ""
        while (state := screen.session.progress().next_open) is not None:
            await until(
                pilot,
                lambda: (
                    screen._current
                    in {s.step.id for s in [screen.session.progress().next_open] if s}
                ),
            )
            await pilot.pause()
            forms = screen.query("#entry Form").results(Form)
            texts = [r.text for f in forms for r in f.query(FormRow) if r.row.name != "instrument"]
            assert not any(texts), f"filled in silently: {state.step.id} {texts}"
            offered += text_of(app)
            inputs += await answered(pilot, screen, example.answers[state.step.id])
        given = {e.step: e.answer for e in screen.session.walk.events}
        await pilot.press("ctrl+g")
        sign: Any = await wait_for(pilot, SignScreen)
        await pilot.press("ctrl+g")
        for _ in screen.session.walk.rule_file.signers:
            asked = await wait_for(pilot, AskSigner)
            await until(pilot, lambda: bool(app.screen.query("#secret Field")))
            asked.query("#secret Field").first(Field).value = PASSPHRASE
            asked.query_one("#secret", Form).submit()
            inputs += 1
            await until(pilot, lambda: not app.screen.query("#secret Field"))
        await until(pilot, lambda: sign._sealed is not None)
    report = verify(desk.folder)

    print(f"second walk: {inputs} inputs")
    assert set(given) == set(before)
    assert [s for s in given if answer_text(given[s]) != answer_text(before[s])] == []
    assert "last time: " in offered
    assert "F2 puts in" in offered
    assert not [c for c in report.checks if str(c.outcome) == "fails"]
    assert inputs <= MOST


async def test_a_reading_is_never_offered(desk: Desk) -> None:
    """A gust, a voltage or a date of practice is of the day: its field is empty, with no offer."""
    first_walk(desk)
    app = StandclearApp(desk, begin="tower-work")
    async with app.run_test(size=SIZE) as pilot:
        screen = await wait_for(pilot, WalkScreen)
        for step in ("gust", "dead", "rescue"):
            await screen._show(step)
            await pilot.pause()
            rows = [r for r in screen.query(FormRow) if r.row.name == "reading"]

            assert [r.row.offer for r in rows] in ([()], [])
            assert [r.text for r in rows] in ([""], [])
