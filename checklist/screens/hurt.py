"""Someone is hurt: one choice, then one short screen. Works with nothing configured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from checklist.plaintext import shown
from checklist.screens.entries import Chosen, Keys
from checklist.screens.frame import BANNER, TitleLine

_FIRST = "Do not become the second one."
_CALL = "CALL 911 (in Europe 112) now, speaker on, and stay on the line."


@dataclass(frozen=True, slots=True)
class Emergency:
    """What to do first, in order; read in seconds."""

    key: str
    name: str
    what: str
    do: tuple[str, ...]
    rests_on: str
    """Where this was read; a first-aid course goes before all of it."""


EMERGENCIES = (
    Emergency(
        "1",
        "shock",
        "Electric shock",
        (
            "Do not touch the person while the power may be on.",
            "POWER OFF FIRST: breaker, plug, generator stop. One person does only this.",
            f"{_CALL} Say: electric shock.",
            "When the power is off: not breathing normally, start CPR, hard and fast; fetch the "
            "AED and do what it says.",
            "Capacitors may still be charged: pull the person clear of the open equipment.",
            "Cool burns with water. Anyone who had a shock is seen by a doctor, even if well.",
        ),
        "OSHA 3075 and first-response pages of several agencies and utilities, read by 2026-11",
    ),
    Emergency(
        "2",
        "line",
        "Power line down, or touching the tower, mast, wire or a vehicle",
        (
            "STAY AWAY: 35 ft (11 m) or more, also from fences and wires that touch it.",
            "No stick, no rope, no rescue: the ground itself can be live.",
            f"{_CALL} Say: power line. They call the utility.",
            "A person on the tower or in a vehicle stays there, unless it burns; then jumps clear "
            "with both feet together and shuffles away.",
            "Nobody goes near until the utility says that the line is dead and grounded.",
        ),
        "ESFI and utility pages, read 2026-11: 35 ft; some say 50 ft, wet ground more",
    ),
    Emergency(
        "3",
        "carbon-monoxide",
        "Carbon monoxide: headache, dizzy, sick, alarm sounding",
        (
            "DO NOT GO IN. Shout; everybody comes out into fresh air, and stays out.",
            f"{_CALL} Say: carbon monoxide. Say how many are inside.",
            "Stop the generator from outside if you can do it in fresh air.",
            "Not breathing normally, out in fresh air: start CPR.",
            "Everyone who was inside is seen by a doctor, even if better.",
        ),
        "CDC and CPSC pages on generators and carbon monoxide, read by 2026-11",
    ),
    Emergency(
        "4",
        "fall",
        "A fall, or somebody hanging in a harness",
        (
            "Radios and power off. Look for what can still fall.",
            f"{_CALL} Say: fall from height, or hanging on a tower.",
            "Hanging: the rescue you practised begins NOW, minutes count. Legs moving, feet in a "
            "loop if there is one.",
            "Fallen: do not move the person unless something else threatens. Hold the head still.",
            "Not breathing normally: start CPR.",
        ),
        "29 CFR 1926.502(d)(20) for prompt rescue; the rest is common practice, no source",
    ),
    Emergency(
        "5",
        "burn",
        "A burn, or a fire",
        (
            "Everybody out and away; power and fuel off only if the way is clear.",
            f"{_CALL} Say: fire, or burns.",
            "Burning clothes: stop, drop, roll; smother the flames.",
            "Cool a burn under running water for 20 minutes; no ice, no ointment; cover loosely.",
            "Small fire, clear way out behind you: extinguisher. Otherwise leave it.",
            "RF and electrical burns go deep: they are seen by a doctor.",
        ),
        "first-aid pages read 2026-11: 10 to 20 minutes, the longer taken; else practice",
    ),
)


class HurtScreen(Screen[None]):
    """The choice, then what to do."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "back")]

    def compose(self) -> ComposeResult:
        """Yield the choice."""
        yield TitleLine()
        with VerticalScroll(id="hurt"):
            yield Static(f"{_FIRST}\n", markup=False, classes="title")
            yield Static(Content(f"{_CALL}\n{self._where()}\n"), id="what", markup=False)
            yield Keys([(e.key, e.name, e.what) for e in EMERGENCIES])
        yield Static(BANNER, id="banner", markup=False)
        yield Static(" Esc back", markup=False)

    def on_mount(self) -> None:
        """Put the focus on the choice."""
        self.title_line.say("SOMEONE IS HURT", "what happened?", urgent=True)
        self.query_one(Keys).focus()

    @property
    def title_line(self) -> TitleLine:
        """The line above."""
        return self.query_one(TitleLine)

    def _where(self) -> str:
        told = shown(getattr(self.app, "call_details", ""))
        return (
            f"Where: {told}" if told else "Where: say the address or the coordinates, and the gate."
        )

    @on(Chosen)
    async def _chosen(self, event: Chosen) -> None:
        emergency = next(e for e in EMERGENCIES if e.name == event.typed)
        self.title_line.say("SOMEONE IS HURT", emergency.what, urgent=True)
        steps = [f"{n}. {line}" for n, line in enumerate((_FIRST, *emergency.do), start=1)]
        rests_on = f"Rests on: {emergency.rests_on}."
        self.query_one("#what", Static).update(
            Content("\n".join([*steps, "", self._where(), rests_on]))
        )
        await self.query_one(Keys).remove()
        await self.query_one("#hurt .title").remove()
        self.query_one("#hurt").focus()

    async def action_back(self) -> None:
        """Go back to the choice, or from there to where one was."""
        if self.query(Keys):
            self.app.pop_screen()
        else:
            await self.recompose()
            self.on_mount()
