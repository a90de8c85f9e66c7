"""Drives the screens as a person would, and reads what stands on them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from textual.pilot import Pilot

from checklist.rulefile import Choice, Confirm, People, Tag
from checklist.screens.doors import Doors
from checklist.screens.walking.entries import Chosen, Keys
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.screens.walking.walk import WalkScreen

WORDS = "four plain words here"
"""The passphrase of everybody in these tests."""


def text_of(app: Doors) -> str:
    """Return the lines that stand on the terminal, as plain text."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)


async def until(pilot: Pilot[None], holds: Callable[[], bool], what: str = "") -> None:
    """Wait until something holds, however slow the machine; fail with the screen otherwise."""
    for _ in range(1500):
        if holds():
            return
        await pilot.pause(0.02)
    raise AssertionError(f"it never held: {what}\n{text_of(pilot.app)}")  # type: ignore[arg-type]  # the app is ours


async def wait_for(pilot: Pilot[None], screen: type, tries: int = 1500) -> Any:
    """Wait until a screen of this kind is on top, and return it."""
    for _ in range(tries):
        if isinstance(pilot.app.screen, screen):
            await pilot.pause()
            return pilot.app.screen
        await pilot.pause(0.02)
    raise AssertionError(f"{screen.__name__} did not come: {pilot.app.screen}")


async def settled(pilot: Pilot[None]) -> None:
    """Wait until nothing is being read or worked out, but for what waits for a person."""
    for _ in range(1500):
        await pilot.pause(0.02)
        if all(w.is_finished or w.node is not pilot.app.screen for w in pilot.app.workers):
            break
    await pilot.pause()


async def give(pilot: Pilot[None], typed: Any) -> int:
    """Answer the step at hand with its written form, and return how many inputs that took."""
    walk = pilot.app.screen
    assert isinstance(walk, WalkScreen)
    step = walk.state.step
    session = walk.session
    before = len(session.walk.events)
    if isinstance(step.kind, Confirm | Choice) or typed == "don't know":
        walk.query_one("#entry").query_one(Keys).post_message(Chosen(typed))
        inputs = 1
    else:
        inputs = await _fill(pilot, walk.query_one("#entry").query_one(Form), step.kind, typed)
    for _ in range(3000):
        await pilot.pause(0.01)
        is_at_work = any(w.is_running for w in pilot.app.workers if w.node is walk)
        if pilot.app.screen is not walk:
            break
        if len(session.walk.events) > before and not is_at_work:
            break
    return inputs


async def _fill(pilot: Pilot[None], form: Form, kind: Any, typed: Any) -> int:
    values = _values(kind, typed)
    inputs = 0
    for name, value in values.items():
        lines = value if isinstance(value, list) else [value]
        for line in lines:
            rows = [r for r in form.query(FormRow) if r.row.name == name and not r.text]
            rows[0].query_one(Field).value = line
            inputs += 1
            if isinstance(value, list) and line is not lines[-1]:
                await form._another(rows[0])
    for row in form.query(FormRow):
        if row.row.name == "instrument" and not row.text:
            row.query_one(Field).value = "number 2"
            inputs += 1
    form.submit()
    return inputs


def _values(kind: Any, typed: Any) -> dict[str, Any]:
    match kind:
        case People():
            slots: dict[str, int] = {}
            values = {}
            for line in typed:
                name, role, *trained = [part.strip() for part in line.split(",")]
                slots[role] = slots.get(role, 0) + 1
                values[f"{role}/{slots[role]}"] = ", ".join([name, *trained])
            return values
        case Tag():
            return {"tag": list(typed)}
        case _ if isinstance(typed, Mapping):
            return dict(typed)
        case _:
            return {"text": typed} if type(kind).__name__ == "Text" else {"reading": typed}
