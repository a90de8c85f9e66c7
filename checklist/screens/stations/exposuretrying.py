"""Trying things at the station from the exposure screen: typed values, remedies, variants kept."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.timer import Timer
from textual.widgets import Input

from checklist.errors import StandclearError
from checklist.screens.asking import AskYes
from checklist.screens.askuntil import until_it_holds
from checklist.screens.stations.exposurefinding import FINDING
from checklist.screens.stations.exposurelines import MAP, REMEDIES, SIDE
from checklist.screens.stations.exposureshowing import Showing
from checklist.screens.stations.exposuretyping import ChooseValue, TryLine
from checklist.screens.walking.field import Field
from checklist.sessions.entryrows import Row
from checklist.sessions.variants.kept import AS_TYPED, VariantSet
from checklist.sessions.variants.remedies import step_of
from checklist.sessions.variants.steps import Value
from checklist.sessions.variants.values import understood, values_of
from checklist.sessions.variants.variant import Source, Variant, with_step
from checklist.sessions.variants.writing import VariantThere, save_variant, suggested_path

_PAUSE_S = 0.25
"""Typing is tried once it has paused for this long; each key begins the pause anew."""


class Trying(Showing):
    """Puts variants beside the station: each is the station file with steps taken in it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(str(n), f"remedy({n - 1})", show=False) for n in range(1, 10)),
        Binding("enter", "remedy(-1)", "try it", show=False),
        Binding("d", "drop", "drop", show=False),
        Binding("o", "to_file", "to a file", show=False),
        Binding("comma", "look(-1)", "variant before", show=False),
        Binding("full_stop", "look(1)", "next variant", show=False),
    ]

    _pause: Timer | None = None

    @property
    def line(self) -> TryLine:
        """The line into which a value is typed."""
        return self.query_one(TryLine)

    @property
    def is_typing(self) -> bool:
        """Whether that line is open."""
        return bool(self.query(TryLine)) and self.line.value is not None

    def offers(self, action: str) -> bool:
        """Return whether an action about variants can be taken now."""
        kept = self.kept
        if kept is None:
            return False
        match action:
            case "remedy":
                return self.looked.tab == REMEDIES and bool(self.looked.remedies)
            case "drop" | "to_file":
                return kept.current > 0 and not self.is_typing
            case "look":
                return bool(kept.variants) and not self.is_typing
            case _:
                return True

    @work(exclusive=True, group="choosing")
    async def action_try(self) -> None:
        """Choose a value, then type another one; the picture follows."""
        kept = self.kept
        if kept is None:
            return
        if self.is_typing:
            self.line.query_one(Field).focus()
            return
        base = kept.base
        exposed = kept.found(base)
        deciding = {
            result.place.name: result.total.deciding.antenna
            for result in (exposed.evaluation.places if exposed else ())
            if result.total.deciding
        }
        values = await asyncio.to_thread(values_of, base, deciding)
        chosen = await self.app.push_screen_wait(ChooseValue(values))
        if chosen is not None and self.is_whole:
            self.line.open(chosen)
            if self.looked.tab == MAP:
                self.call_after_refresh(self.fill)

    @on(Input.Changed, "#try")
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(_PAUSE_S, self._try)

    @work(exclusive=True, group=FINDING)
    async def _try(self) -> None:
        """Show the station with what stands in the line; the last text wins."""
        kept, value, text = self.kept, self.line.value, self.line.text
        if kept is None or value is None:
            return
        self.wrong = ""
        if not text:
            kept.stop_typing()
            self.line.say("")
            await self.complete()
            return
        source, base = kept.source, kept.base
        made = await self.found(partial(_as_typed, source, base, value, text, AS_TYPED))
        if made is None:
            await self._not_taken(kept)
            return
        said, variant = made
        kept.type(variant)
        self.line.say(said)
        await self.complete()

    @on(Field.Entered, "#try")
    def _entered(self, event: Field.Entered) -> None:
        event.stop()
        if self._pause is not None:
            self._pause.stop()
        if self.line.text:
            self._keep_typed()
        else:
            self.leave_line()

    @work(exclusive=True, group=FINDING)
    async def _keep_typed(self) -> None:
        """Keep what stands in the line as a variant, with what was found for it."""
        kept, value, text = self.kept, self.line.value, self.line.text
        if kept is None or value is None:
            return

        def make() -> Variant:
            return _as_typed(kept.source, kept.base, value, text, kept.next_name())[1]

        variant = await self.found(make)
        if variant is None:
            await self._not_taken(kept)
            return
        typed = kept.typed
        exposed = kept.found(typed) if typed is not None and typed.data == variant.data else None
        kept.add(variant)
        if exposed is not None:
            kept.keep(variant, replace(exposed, described=variant.described))
        self._close_line()
        self.looked.tab = SIDE
        await self.complete()

    async def _not_taken(self, kept: VariantSet) -> None:
        """Say what is wrong with what was typed, above the station as it was before."""
        wrong = self.wrong
        kept.stop_typing()
        self.line.say("")
        await self.complete()
        self.wrong = wrong
        self.show()

    def leave_line(self) -> None:
        """Let go of what is being typed, and show what was there before."""
        if self._pause is not None:
            self._pause.stop()
        self.stop_finding()
        self._close_line()
        if self.kept is not None:
            self.kept.stop_typing()
        self.wrong = ""
        self.call_after_refresh(self.fill)  # a map needs the room that there is then

    def _close_line(self) -> None:
        self.line.close()
        self.query_one("#exposure").focus()

    def action_remedy(self, number: int) -> None:
        """Try a remedy as a variant: by its number, or the one at the mark."""
        at = self.looked.mark if number < 0 else number
        if at < len(self.looked.remedies):
            self._take_remedy(at)

    @work(exclusive=True, group=FINDING)
    async def _take_remedy(self, at: int) -> None:
        kept = self.kept
        if kept is None:
            return
        place, remedy = self.looked.remedies[at]
        base = kept.base

        def make() -> Variant:
            return with_step(kept.source, base, step_of(base, place, remedy), kept.next_name())

        variant = await self.found(make)
        if variant is not None:
            kept.add(variant)
            self.looked.tab = SIDE
            self.query_one("#exposure").scroll_home(animate=False)
        await self.complete()

    def action_drop(self) -> None:
        """Drop the variant that is looked at."""
        if self.kept is not None:
            self.say_once(f"{self.kept.drop()} was dropped")
            self.fill()

    def action_look(self, by: int) -> None:
        """Look at the variant before or after."""
        if self.kept is not None:
            self.kept.look(by)
            self.fill()

    @work(exclusive=True, group="writing")
    async def action_to_file(self) -> None:
        """Write the variant that is looked at as a station file of its own."""
        kept = self.kept
        if kept is None or kept.current == 0:
            return
        source, variant, disk = kept.source, kept.base, self.app.desk.disk
        asked = Row("file", "new file", value=str(suggested_path(source, variant)))
        said = [f"{source.path.name} stays as it is; its comments are kept in the new file."]
        there: list[Path] = []

        def attempt(values: dict[str, str]) -> str:
            try:
                return str(save_variant(disk, source, variant, values["file"]))
            except VariantThere as refused:
                there[:] = [refused.path]
                return ""

        title = f"Write {variant.name} as a station file"
        written = await until_it_holds(self.app, title, said, [asked], attempt)
        if written == "":
            written = await self._replaced(source, variant, there[0])
        if written and self.is_whole:
            self.say_once(f"{variant.name} was written: {written}")
            self.show()

    async def _replaced(self, source: Source, variant: Variant, path: Path) -> str | None:
        """Write over a file that stands there, if that is meant."""
        is_meant = await self.app.push_screen_wait(
            AskYes(f"{path.name} is there already. Write over it?", ["What stands in it is lost."])
        )
        if not is_meant:
            return None
        write = partial(save_variant, self.app.desk.disk, source, variant, str(path), over=True)
        try:
            return str(await asyncio.to_thread(write))
        except StandclearError as error:
            self.wrong = error.sentence()
            self.show()
            return None


def _as_typed(
    source: Source, base: Variant, value: Value, text: str, name: str
) -> tuple[str, Variant]:
    """Return how a typed text is understood, and the variant that it makes."""
    step = value.taken(text)
    variant = with_step(source, base, step, name, value.where)
    return understood(value, text) or text, variant
