"""Every screen by name, and how a person gets to it from home."""

from __future__ import annotations

import time
from collections.abc import Awaitable, Callable
from typing import Any

from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import OptionList

from checklist.audit.report import AuditFinding
from checklist.emergencies import emergencies
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskEvidence, AskForm, AskOne, AskText, AskYes
from checklist.screens.askuntil import AskUntil
from checklist.screens.demo import Building
from checklist.screens.help import HelpScreen
from checklist.screens.home import HomeScreen
from checklist.screens.hurt import HurtScreen
from checklist.screens.palette import Palette
from checklist.screens.past.audit import AuditScreen
from checklist.screens.past.audited import AuditedSessionScreen, EntryScreen
from checklist.screens.past.correcting import AskAnswer, CorrectScreen
from checklist.screens.past.review import ReviewScreen
from checklist.screens.past.session import SessionScreen
from checklist.screens.plain import PlainScreen
from checklist.screens.roll.people import PATHS, PeopleScreen
from checklist.screens.roll.tags import TagsScreen
from checklist.screens.stations.exposure import ExposureScreen
from checklist.screens.stations.exposuretyping import ChooseValue
from checklist.screens.stations.station import StationScreen
from checklist.screens.stations.stationform import AskEntry
from checklist.screens.teaching.inclass import ClassScreen
from checklist.screens.teaching.lesson import LessonScreen
from checklist.screens.teaching.numbers import NumberScreen, NumbersScreen
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.picture import PictureScreen
from checklist.screens.walking.sign import AskSigner, SignScreen
from checklist.screens.walking.walk import WalkScreen
from checklist.sessions.desk import Desk
from checklist.walk.entry import read_answer
from tests.screens.driving import settled, text_of, until, wait_for

Reach = Callable[[Pilot[None], StandclearApp], Awaitable[None]]


def by_key(key: str, kind: str = "") -> Reach:
    """Return the way to a screen that is one key from home."""

    async def reach(pilot: Pilot[None], app: StandclearApp) -> None:
        await pilot.press(key)
        await until(pilot, lambda: not isinstance(app.screen, HomeScreen))
        await settled(pilot)

    return reach


def at_step(rule_file: str, step_id: str) -> Reach:
    """Return the way to a step of a rehearsal, all before it answered as in the example."""

    async def reach(pilot: Pilot[None], app: StandclearApp) -> None:
        app.walk(rule_file, rehearse=True)
        walk = await wait_for(pilot, WalkScreen)
        example = walk.session.walk.rule_file.examples[0]
        while (state := walk.session.progress().next_open) and state.step.id != step_id:
            typed = example.answers[state.step.id]
            walk.session.answer(
                state.step.id, read_answer(state.step, typed, instrument="number 2")
            )
        await walk._show(step_id)
        await settled(pilot)

    return reach


async def _stopped(pilot: Pilot[None], app: StandclearApp) -> None:
    await at_step("tower-work", "thunder")(pilot, app)
    await pilot.press("n")
    walk: Any = app.screen
    await until(pilot, lambda: bool(walk.session.progress().stops))
    await settled(pilot)


async def _evidence(pilot: Pilot[None], app: StandclearApp) -> None:
    await _stopped(pilot, app)
    await pilot.press("y")
    await wait_for(pilot, AskEvidence)


async def _final_stop(pilot: Pilot[None], app: StandclearApp) -> None:
    await at_step("emergency-power", "connection")(pilot, app)
    await pilot.press("4")
    await wait_for(pilot, AskYes)


def _in_walk(key: str, screen: type) -> Reach:
    async def reach(pilot: Pilot[None], app: StandclearApp) -> None:
        await at_step("tower-work", "thunder")(pilot, app)
        await pilot.press(key)
        await wait_for(pilot, screen)
        await pilot.pause()

    return reach


async def _offered(pilot: Pilot[None], app: StandclearApp) -> None:
    app.walk("tower-work")
    walk = await wait_for(pilot, WalkScreen)
    await walk._show("lines")
    await settled(pilot)


async def _stop_with_evidence(pilot: Pilot[None], app: StandclearApp) -> None:
    await at_step("tower-work", "lines")(pilot, app)
    walk: Any = app.screen
    step = walk.session.walk.rule_file.step("lines")
    walk.session.answer("lines", read_answer(step, "don't know"))
    await walk._show("lines")
    await settled(pilot)


async def _sign(pilot: Pilot[None], app: StandclearApp) -> None:
    app.go_on(unfinished(app))
    walk = await wait_for(pilot, WalkScreen)
    rules = walk.session.walk.rule_file
    while (state := walk.session.progress().next_open) is not None:
        typed = rules.examples[0].answers[state.step.id]
        walk.session.answer(state.step.id, read_answer(state.step, typed, instrument="number 2"))
    await pilot.press("ctrl+g")
    await wait_for(pilot, SignScreen)
    await settled(pilot)


async def _signer(pilot: Pilot[None], app: StandclearApp) -> None:
    await _sign(pilot, app)
    await pilot.press("ctrl+g")
    await wait_for(pilot, AskSigner)
    await settled(pilot)


def unfinished(app: StandclearApp) -> str:
    """Return the session that was left."""
    home: Any = app.screen
    return str(home._overview.unfinished[0].session_id)


async def _session(pilot: Pilot[None], app: StandclearApp) -> None:
    home: Any = app.screen
    app.show_session(home._overview.last[0].session_id)
    await until(pilot, lambda: app.screen is not home)
    await settled(pilot)


async def _number(pilot: Pilot[None], app: StandclearApp) -> None:
    await by_key("n")(pilot, app)
    numbers = app.screen
    await pilot.press("enter")
    await until(pilot, lambda: app.screen is not numbers)
    await settled(pilot)


async def _hang(pilot: Pilot[None], app: StandclearApp) -> None:
    await by_key("t")(pilot, app)
    await pilot.press("h")
    await wait_for(pilot, AskForm)
    await pilot.pause()


async def _give_up(pilot: Pilot[None], app: StandclearApp) -> None:
    home: Any = app.screen
    choices = home.query_one(OptionList)
    choices.highlighted = next(
        i for i, o in enumerate(choices.options) if (o.id or "").startswith("walk:")
    )
    await pilot.press("x")
    await wait_for(pilot, AskText)
    await pilot.pause()


def _path(key: str) -> Reach:
    async def reach(pilot: Pilot[None], app: StandclearApp) -> None:
        await by_key("p")(pilot, app)
        await wait_for(pilot, PeopleScreen)
        await pilot.press(key)
        await pilot.pause(0.3)
        await settled(pilot)

    return reach


async def _people_choice(pilot: Pilot[None], app: StandclearApp) -> None:
    await by_key("p")(pilot, app)
    await pilot.press("enter")
    await wait_for(pilot, AskOne)


async def _exposure(pilot: Pilot[None], app: StandclearApp) -> None:
    await by_key("e")(pilot, app)
    asked = await wait_for(pilot, AskForm)
    asked.query_one(Field).value = str(app.desk.logs.parent / "station.yaml")
    asked.query_one(Form).submit()
    await until(pilot, lambda: type(app.screen).__name__ == "ExposureScreen")
    await settled(pilot)


def in_exposure(key: str) -> Reach:
    """Return the way to a tab of the exposure screen, or to the choice of what is tried."""

    async def reach(pilot: Pilot[None], app: StandclearApp) -> None:
        await _exposure(pilot, app)
        await pilot.press(key)
        await pilot.pause(0.1)
        await settled(pilot)

    return reach


async def _station(pilot: Pilot[None], app: StandclearApp) -> None:
    await by_key("s")(pilot, app)
    await pilot.press("p")
    asked = await wait_for(pilot, AskForm)
    asked.query_one(Field).value = str(app.desk.logs.parent / "station.yaml")
    asked.query_one(Form).submit()
    editor: Any = await wait_for(pilot, StationScreen)
    await until(pilot, lambda: bool(editor.sitting and editor.query(OptionList)))
    await settled(pilot)


async def _new_station(pilot: Pilot[None], app: StandclearApp) -> None:
    await by_key("s")(pilot, app)
    await pilot.press("n")
    await wait_for(pilot, AskForm)
    await settled(pilot)


def in_station(*keys: str, screen: type) -> Reach:
    """Return the way to what keys open in the station editor, at its antennas."""

    async def reach(pilot: Pilot[None], app: StandclearApp) -> None:
        await _station(pilot, app)
        editor: Any = app.screen
        lefts = [line.left for line in editor._lines]
        editor.query_one(OptionList).highlighted = lefts.index("antennas")
        for key in keys:
            await pilot.press(key)
            await pilot.pause(0.2)
        await wait_for(pilot, screen)
        await settled(pilot)

    return reach


async def _lesson(pilot: Pilot[None], app: StandclearApp) -> None:
    await by_key("c")(pilot, app)
    listed = app.screen
    await pilot.press("enter")
    await until(pilot, lambda: app.screen is not listed)
    await settled(pilot)


async def _correct(pilot: Pilot[None], app: StandclearApp) -> None:
    await _session(pilot, app)
    session = app.screen
    await pilot.press("c")
    await until(pilot, lambda: app.screen is not session)
    await settled(pilot)


async def _correct_answer(pilot: Pilot[None], app: StandclearApp) -> None:
    await _correct(pilot, app)
    await pilot.press("enter")
    await wait_for(pilot, AskAnswer)
    await settled(pilot)


async def _picture(pilot: Pilot[None], app: StandclearApp) -> None:
    await _session(pilot, app)
    await pilot.press("f3")
    await until(pilot, lambda: not isinstance(app.screen, SessionScreen), "the picture")
    if isinstance(app.screen, AskOne):
        await pilot.press("1")
    await wait_for(pilot, PictureScreen)
    await settled(pilot)


def hurt(key: str = "") -> Reach:
    """Return the way to the help, and to one kind of harm."""

    async def reach(pilot: Pilot[None], app: StandclearApp) -> None:
        await pilot.press("ctrl+y")
        await wait_for(pilot, HurtScreen)
        if key:
            await pilot.press(key)
            await pilot.pause(0.3)
        await settled(pilot)

    return reach


async def _audit(pilot: Pilot[None], app: StandclearApp) -> AuditScreen:
    await pilot.press("a")
    audit: AuditScreen = await wait_for(pilot, AuditScreen)
    await until(pilot, lambda: audit.report is not None, "the audit")
    return audit


async def _audited_session(pilot: Pilot[None], app: StandclearApp) -> None:
    await _finding(pilot, await _audit(pilot, app), lambda finding: bool(finding.session))


async def _audited_entry(pilot: Pilot[None], app: StandclearApp) -> None:
    """Let the newest entry name a rule file that nobody has, and look at it."""
    note = sorted((app.desk.logs / "ledger").glob("*.note"))[-1]
    changed = note.read_bytes().replace(b"emergency-power", b"emergency-bower")
    note.chmod(0o600)
    note.write_bytes(changed)
    await _finding(pilot, await _audit(pilot, app), lambda finding: bool(finding.entry))


async def _finding(
    pilot: Pilot[None], audit: AuditScreen, is_wanted: Callable[[AuditFinding], bool]
) -> None:
    wanted = (isinstance(row, AuditFinding) and is_wanted(row) for row in audit._rows)
    audit.query_one(OptionList).highlighted = list(wanted).index(True)
    await pilot.press("enter")
    await until(pilot, lambda: pilot.app.screen is not audit, "what it is about")
    await settled(pilot)


async def _blind_spots(pilot: Pilot[None], app: StandclearApp) -> None:
    await _audit(pilot, app)
    await pilot.press("w")
    await wait_for(pilot, PlainScreen)
    await settled(pilot)


async def _building(pilot: Pilot[None], app: StandclearApp) -> None:
    """Show the building of the invented club, which stands still until it is stopped."""
    building = Building(app.desk.logs.parent / "invented-club")

    def built() -> Desk:
        while True:
            building._tell(40, 100)
            time.sleep(0.02)

    def build() -> None:
        app.run_worker(Building._build.__wrapped__(building))  # type: ignore[attr-defined]  # @work

    # A worker of the app's own: it goes on while one looks whether the screen has settled.
    building._built = built  # type: ignore[method-assign]  # in its place
    building._build = build  # type: ignore[method-assign, assignment]  # in its place
    app.push_screen(building)
    await until(pilot, lambda: "40%" in text_of(app), "how far it is")


async def _stay(pilot: Pilot[None], app: StandclearApp) -> None:
    await settled(pilot)


SCREENS: dict[str, Reach] = {
    "home": _stay,
    "give up a walk": _give_up,
    "walk, one key": at_step("tower-work", "thunder"),
    "walk, choice": at_step("tower-work", "work"),
    "walk, people": at_step("tower-work", "climb-crew"),
    "walk, text": at_step("tower-work", "call"),
    "walk, reading": at_step("tower-work", "gust"),
    "walk, tags": at_step("tower-work", "locks"),
    "walk, calculation": at_step("tower-work", "lines"),
    "walk, lines of a calculation": at_step("emergency-power", "loads"),
    "walk, tags off": at_step("release", "locks-off"),
    "walk, station file": at_step("exposure-review", "evaluation"),
    "walk, offered from the last time": _offered,
    "walk, a stop": _stopped,
    "walk, a stop that evidence answers": _stop_with_evidence,
    "walk, evidence": _evidence,
    "walk, a final stop": _final_stop,
    "walk, stop of work": _in_walk("ctrl+s", AskText),
    "walk, near miss": _in_walk("ctrl+n", AskText),
    "walk, note": _in_walk("ctrl+t", AskText),
    "sign": _sign,
    "signer": _signer,
    "review": by_key("f"),
    "session": _session,
    "correct": _correct,
    "correct, an answer": _correct_answer,
    "picture": _picture,
    "numbers": by_key("n"),
    "one number": _number,
    "tags": by_key("t"),
    "hang a tag": _hang,
    "people": by_key("p"),
    "what people can do": _people_choice,
    **{f"people, {key}": _path(key) for key in PATHS},
    "audit": by_key("a"),
    "audit, a session": _audited_session,
    "audit, an entry": _audited_entry,
    "audit, blind spots": _blind_spots,
    "which station": by_key("e"),
    "exposure": _exposure,
    "exposure, map": in_exposure("m"),
    "exposure, a value to try": in_exposure("t"),
    "which station to edit": by_key("s"),
    "new station": _new_station,
    "station": _station,
    "station, antennas": in_station("enter", screen=StationScreen),
    "station, kind of an antenna": in_station("a", screen=AskOne),
    "station, another antenna": in_station("a", "1", screen=AskEntry),
    "station, a value": in_station("enter", "enter", "down", "enter", screen=AskEntry),
    "station, another name": in_station("enter", "n", screen=AskForm),
    "in class": by_key("c"),
    "lesson": _lesson,
    "manual": by_key("f1"),
    "the invented club": _building,
    "palette": by_key("ctrl+p"),
    "hurt": hurt(),
    **{f"hurt, {e.name}": hurt(e.key) for e in emergencies()},
}

KINDS: dict[str, type[Screen[Any]]] = {
    "home": HomeScreen,
    "give up a walk": AskText,
    "walk, one key": WalkScreen,
    "walk, evidence": AskEvidence,
    "walk, a final stop": AskYes,
    "sign": SignScreen,
    "signer": AskSigner,
    "review": ReviewScreen,
    "session": SessionScreen,
    "correct": CorrectScreen,
    "correct, an answer": AskAnswer,
    "picture": PictureScreen,
    "numbers": NumbersScreen,
    "one number": NumberScreen,
    "tags": TagsScreen,
    "hang a tag": AskUntil,
    "people": PeopleScreen,
    "what people can do": AskOne,
    "audit": AuditScreen,
    "audit, a session": AuditedSessionScreen,
    "audit, an entry": EntryScreen,
    "audit, blind spots": PlainScreen,
    "which station": AskForm,
    "exposure": ExposureScreen,
    "exposure, a value to try": ChooseValue,
    "station": StationScreen,
    "station, another antenna": AskEntry,
    "in class": ClassScreen,
    "lesson": LessonScreen,
    "manual": HelpScreen,
    "the invented club": Building,
    "palette": Palette,
    "hurt": HurtScreen,
}
"""What is on top at some of them: every kind of screen there is, once."""
