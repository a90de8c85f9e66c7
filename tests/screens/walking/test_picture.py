"""A picture of what was found at a step, over the walk and back."""

from __future__ import annotations

import pytest

from checklist.rulefile.model import Compute
from checklist.screens.app import StandclearApp
from checklist.screens.walking.picture import PictureScreen
from checklist.screens.walking.walk import WalkScreen
from tests.screens.driving import give, text_of, wait_for

STEPS = {
    "tower-work": ("power-line-distance", "How far the mast can fall, from above"),
    "emergency-power": ("generator-load", "Loads on the generator"),
}


@pytest.mark.parametrize("size", [(80, 24), (130, 40)])
@pytest.mark.parametrize("name", STEPS)
async def test_f2_draws_the_finding_at_hand(
    app: StandclearApp, name: str, size: tuple[int, int]
) -> None:
    """Offered only where there is a finding to draw; Esc leads back to the same step."""
    calculation, title = STEPS[name]
    async with app.run_test(size=size) as pilot:
        app.walk(name, rehearse=True)
        screen = await wait_for(pilot, WalkScreen)
        before = screen.check_action("picture", ())
        rules = screen.session.walk.rule_file
        step = next(
            s
            for s in rules.steps
            if isinstance(s.kind, Compute) and s.kind.calculation.name == calculation
        )
        example = next(e for e in rules.examples if step.id in e.answers)
        for _ in range(60):
            state = screen.session.progress().next_open
            assert state is not None
            if screen._current != state.step.id:
                await screen._show(state.step.id)
            await give(pilot, example.answers[state.step.id])
            if state.step.id == step.id:
                break
        await screen._show(step.id)
        await pilot.pause()
        offered = screen.check_action("picture", ())
        await pilot.press("f3")
        await wait_for(pilot, PictureScreen)
        await pilot.pause()
        drawn = text_of(app)
        await pilot.press("escape")
        await wait_for(pilot, WalkScreen)
        back = screen._current

    assert before is False
    assert offered is True
    assert title in drawn.splitlines()[0]
    assert back == step.id
