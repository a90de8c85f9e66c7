"""The station editor: a station from nothing, by keyboard at 80x24, and nothing typed is lost."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from checklist.caution import BANNER
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm, AskOne, AskYes
from checklist.screens.home import HomeScreen
from checklist.screens.stations import stationshown as editor
from checklist.screens.stations.station import StationScreen
from checklist.screens.stations.stationform import AskEntry
from checklist.screens.stations.stationshown import USUAL
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.sessions.desk import Desk
from checklist.station import load_station
from tests.screens.building import Page, added, begun, give, idle, read, to_line
from tests.screens.driving import text_of, until, wait_for
from tests.station.example import changed_example
from tests.station.making import WHOLE

SIZE = (80, 24)
RIG: Page = {
    "name": "desk-rig", "is": "transceiver", "power": "100 W", "used": "fixed",
    "one-at-a-time": "yes",
}  # fmt: skip
BY_BUILDER: dict[str, tuple[Page, ...]] = {
    "half-wave-dipole": (
        {"frequency": "7.1 MHz", "centre": "0 m, 12 m, 12 m", "bearing": "90 deg",
         "diameter": "2 mm"},
    ),
    "inverted-v": (
        {"frequency": "3.6 MHz", "apex": "0 m, 0 m, 10 m", "bearing": "45 deg",
         "angle": "110 deg", "diameter": "2 mm"},
    ),
    "vertical": (
        {"frequency": "14.2 MHz", "base": "30 m, 0 m, 2 m", "diameter": "1 in", "radials": "4"},
    ),
    "yagi": (
        {"rear": "-2 m, 0 m, 12 m", "bearing": "90 deg", "turns": "yes",
         "elements-are": "horizontal",
         "elements": ["0 m; 10.6 m; 25 mm", "2 m; 10.1 m; 25 mm; yes", "4 m; 9.5 m; 25 mm"]},
        {"sector": "0 deg, 180 deg"},
    ),
    "small-loop": (
        {"centre": "5 m, 5 m, 2 m", "across": "1 m", "diameter": "22 mm", "plane": "vertical"},
        {"bearing": "0 deg"},
    ),
    "random-wire": (
        {"points": "0 m, 0 m, 2 m; 10 m, 0 m, 8 m", "counterpoise": "0 m, 8 m, 0.2 m",
         "diameter": "1.5 mm"},
    ),
    "wires": (
        {"wires": ["left; 0 m, 0 m, 9 m; 5 m, 0 m, 8 m; 2 mm",
                   "right; 0 m, 0 m, 9 m; -5 m, 0 m, 8 m; 2 mm"],
         "feed/wire": "left", "feed/at": "0 %"},
    ),
    "by-gain": (
        {"like": "collinear", "gain": "3 dBd", "ground-in-gain": "no", "at": "0 m, 0 m, 14 m",
         "extent": "2.6 m"},
    ),
    "dish": (
        {"across": "1.2 m", "at": "2 m, 0 m, 6 m", "bearing": "120 deg", "elevation": "20 deg",
         "turns": "no"},
    ),
}  # fmt: skip
"""What each builder of an antenna is asked for, page by page."""


@pytest.fixture
def new(tmp_path: Path) -> Path:
    return tmp_path / "new.yaml"


async def opened(pilot: Pilot[None], path: Path) -> StationScreen:
    """Open the editor from home by its key, and give it the path."""
    await wait_for(pilot, HomeScreen)
    await pilot.press("s")
    await wait_for(pilot, AskOne)
    await pilot.press("p")
    asked = await wait_for(pilot, AskForm)
    asked.query_one(Field).value = str(path)
    asked.query_one(Form).submit()
    return await read(pilot)


async def test_a_station_from_nothing(app: StandclearApp, new: Path) -> None:
    """Transmitter, line, an antenna by every builder, emission, places: the file loads strictly.

    Each step leaves title, banner and help on 24 lines, and the file on disk.
    """
    stands = []
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot, new)
        stands.append(await added(pilot, screen, "transmitters", RIG))
        line: Page = {"name": "to-dipole", "length": "90 ft", "load-swr": "1.5"}
        stands.append(await added(pilot, screen, "feed-lines", line, {}))
        for kind, (first, *more) in BY_BUILDER.items():
            page = {"name": f"the-{kind}", **first}
            stands.append(await added(pilot, screen, "antennas", page, *more, kind=kind))
        emission: Page = {
            "name": "net", "frequency": "7.1 MHz", "power": "100 W", "power-is": "peak envelope",
            "mode": "SSB", "on-air/kind": "pattern", "transmitter": "desk-rig",
            "feed-line": "to-dipole", "antenna": "the-half-wave-dipole",
        }  # fmt: skip
        pattern: Page = {"on-air/on": "2 min", "on-air/off": "4 min"}
        stands.append(await added(pilot, screen, "emissions", emission, pattern))
        desk: Page = {
            "name": "desk", "is": "chair at the desk", "at": "-8 m, 0 m, 0 m", "tall": "1.9 m",
            "environment": "controlled", "who": "operator", "within-reach": ["none"],
        }  # fmt: skip
        trained: Page = {
            "training/statement": "Shown the page", "training/given": "2026-05-02",
            "training/by": "Moss Tarrant",
        }  # fmt: skip
        stands.append(await added(pilot, screen, "places", desk, trained))
        track: Page = {
            "name": "track", "is": "farm track", "at": "59 ft, 4 m, 0 m", "tall": "2 m",
            "environment": "uncontrolled", "who": "neighbours, public",
            "within-reach": ["the-random-wire; the lower end; yes; 40 cm"],
        }  # fmt: skip
        stands.append(await added(pilot, screen, "places", track))
    made = load_station(new.read_text("utf-8"), "new.yaml")

    assert [one.name for one in made.antennas] == [f"the-{kind}" for kind in BY_BUILDER]
    assert [one.name for one in made.places] == ["desk", "track"]
    assert made.places[0].training is not None
    assert made.emissions[0].feed_line == "to-dipole"
    assert "[1 to see]" in stands[-1]  # the bare wire within the public's reach
    for text in stands:
        assert "Saved: " in text
        assert BANNER in text
        assert "SOMEONE IS HURT" in text
        assert len(text.splitlines()) == SIZE[1]


async def test_a_refusal_that_names_a_key_asks_for_it(app: StandclearApp, new: Path) -> None:
    """A raised feed without a counterpoise: the form stays with all that was typed, and a row."""
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot, new)
        page = {"name": "loop", **BY_BUILDER["small-loop"][0]}
        await to_line(pilot, screen, "antennas")
        await pilot.press("a")
        asked: Any = await wait_for(pilot, AskOne)
        await pilot.press(next(k for k, word, _ in asked._choices if word == "small-loop"))
        await give(pilot, page)
        await give(pilot, {})  # no bearing
        await until(pilot, lambda: "a vertical loop has a bearing" in text_of(app))
        again: Any = await wait_for(pilot, AskEntry)
        rows = {row.row.name: row.text for row in again.query(FormRow)}
        await give(pilot, {"bearing": "0 deg"})
        text = await idle(pilot, screen)

    assert rows == {**page, "bearing": ""}
    assert "Saved: loop stands in the antennas" in text
    assert load_station(new.read_text("utf-8"), "new.yaml").antennas[0].name == "loop"


@pytest.mark.parametrize(
    ("kind", "row", "typed", "says"),
    [
        ("wires", "wires", "left", "a name and its columns are needed, between semicolons"),
        ("wires", "wires", "Left; 0 m, 0 m, 9 m; 5 m, 0 m, 8 m; 2 mm", "Left"),
        ("wires", "wires", "left; 0 m, 0 m; 5 m, 0 m, 8 m; 2 mm", "a position is needed here"),
        ("yagi", "elements", "0 m; 10.6 m; 25 mm; perhaps", "driven"),
        ("half-wave-dipole", "frequency", "7.1", "“7.1” has no unit"),
        ("half-wave-dipole", "frequency", "?", "“?” does not begin with a number"),
        ("half-wave-dipole", "centre", "0 m, 12 m", "x east, y north, z up"),
        ("half-wave-dipole", "name", "My dipole", "small letters"),
        ("by-gain", "like", "yogi", "yogi"),
    ],
)
async def test_a_wrong_value_is_said_in_its_row(
    kind: str, row: str, typed: str, says: str, app: StandclearApp, new: Path
) -> None:
    """The row says what is wrong, the form stays, and the file is as it was."""
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot, new)
        before = new.read_bytes()
        await to_line(pilot, screen, "antennas")
        await pilot.press("a")
        asked: Any = await wait_for(pilot, AskOne)
        await pilot.press(next(k for k, word, _ in asked._choices if word == kind))
        form: Any = await wait_for(pilot, AskEntry)
        await until(pilot, lambda: bool(form.query(Field)))
        wrong = next(one for one in form.query(FormRow) if one.row.name == row)
        wrong.query_one(Field).value = typed
        wrong.query_one(Field).focus()
        await pilot.press("enter")
        await pilot.pause()
        complaint = wrong.complaint()
        is_there = app.screen is form

    assert says in complaint
    assert "\n" not in complaint
    assert is_there
    assert new.read_bytes() == before


async def test_undo_and_redo_are_on_disk(app: StandclearApp, tmp_path: Path) -> None:
    """A changed value, taken back, made again: the file follows, all its other bytes stay."""
    path = tmp_path / "whole.yaml"
    path.write_text(WHOLE, "utf-8")
    after = WHOLE.replace("frequency: 7.1 MHz, centre", "frequency: 7.05 MHz, centre")
    async with app.run_test(size=SIZE) as pilot:
        screen = await opened(pilot, path)
        for left in ("antennas", "dipole-40", "frequency"):
            await to_line(pilot, screen, left)
            await pilot.press("enter")
            await pilot.pause()
        await give(pilot, {"frequency": "7.05 MHz"})
        changed = await idle(pilot, screen)
        written = path.read_text("utf-8")
        await pilot.press("u")
        undone = await idle(pilot, screen)
        back = path.read_text("utf-8")
        await pilot.press("U")
        await idle(pilot, screen)
        again = path.read_text("utf-8")
        await pilot.press("u")
        await idle(pilot, screen)
        await pilot.press("u")
        nothing = await idle(pilot, screen)
        await pilot.press("escape")
        left = await idle(pilot, screen)

    assert "nothing to undo" not in left
    assert USUAL in left
    assert "Saved: antennas dipole-40 frequency." in changed
    assert written == after
    assert "Taken back: antennas dipole-40 frequency. Saved." in undone
    assert back == WHOLE
    assert again == after
    assert path.read_text("utf-8") == WHOLE
    assert "There is nothing to undo." in nothing


async def test_what_was_typed_outlives_the_program(desk: Desk, new: Path) -> None:
    """The program ends in the middle of a form: the entry is there, and is gone on with."""
    first = StandclearApp(desk)
    async with first.run_test(size=SIZE) as pilot:
        screen = await begun(pilot, new)
        await to_line(pilot, screen, "transmitters")
        await pilot.press("a")
        form: Any = await wait_for(pilot, AskEntry)
        await until(pilot, lambda: bool(form.query(Field)))
        typed = {"name": "desk-rig", "power": "100 W"}
        for row in form.query(FormRow):
            row.query_one(Field).value = typed.get(row.row.name, "")
        beside = new.with_name("new.unfinished.yaml")
        await until(pilot, beside.exists, "it is kept")
        await until(pilot, lambda: "100 W" in beside.read_text("utf-8"), "all of it")
        kept = new.read_bytes()
    second = StandclearApp(desk)
    async with second.run_test(size=SIZE) as pilot:
        screen = await opened(pilot, new)
        listed = text_of(second)
        await to_line(pilot, screen, "transmitters")
        await pilot.press("enter")
        await to_line(pilot, screen, "desk-rig")
        await pilot.press("enter")
        again: Any = await wait_for(pilot, AskEntry)
        await until(pilot, lambda: bool(again.query(Field)))
        rows = {row.row.name: row.text for row in again.query(FormRow)}
        await give(pilot, {"is": "transceiver", "used": "fixed", "one-at-a-time": "no"})
        text = await idle(pilot, screen)

    assert kept == new.read_bytes().split(b"transmitters:")[0]
    assert "1 UNFINISHED" in listed
    assert rows["name"] == "desk-rig"
    assert rows["power"] == "100 W"
    assert "Saved: desk-rig stands in the transmitters" in text
    assert not beside.exists()


async def test_a_change_by_another_program_is_not_overwritten(
    app: StandclearApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is said without a key, an edit is refused, R reads the new file, then edits count."""
    monkeypatch.setattr(editor, "_LOOK_AGAIN_S", 0.05)
    path = tmp_path / "station.yaml"
    path.write_text(changed_example(), "utf-8")
    other = changed_example(("power: 25 W", "power: 20 W"))
    async with app.run_test(size=SIZE) as pilot:
        screen = await opened(pilot, path)
        path.write_text(other, "utf-8")
        await until(pilot, lambda: "CHANGED ON DISK" in text_of(app))
        said = text_of(app)
        await to_line(pilot, screen, "name")
        await pilot.press("enter")
        await give(pilot, {"name": "Another name"})
        await until(pilot, lambda: "press R to read it again" in text_of(app))
        refused = path.read_text("utf-8")
        await pilot.press("escape")
        await idle(pilot, screen)
        await pilot.press("R")
        await until(pilot, lambda: screen.sitting is not None and "20 W" in screen.sitting.text)
        await idle(pilot, screen)
        await to_line(pilot, screen, "name")
        await pilot.press("enter")
        await give(pilot, {"name": "Another name"})
        await idle(pilot, screen)

    assert "Nothing is overwritten; R reads it again." in said
    assert refused == other
    assert path.read_text("utf-8") == other.replace(
        "name: Larkspur Bend, hill station", "name: Another name"
    )


async def test_what_is_referred_to_is_not_taken_out(app: StandclearApp, tmp_path: Path) -> None:
    """The references are named and the file stays; renamed, they follow."""
    path = tmp_path / "station.yaml"
    path.write_text(changed_example(), "utf-8")
    before = path.read_text("utf-8")
    async with app.run_test(size=SIZE) as pilot:
        screen = await opened(pilot, path)
        await to_line(pilot, screen, "antennas")
        await pilot.press("enter")
        await to_line(pilot, screen, "dipole-40")
        await pilot.press("x")
        refused = await idle(pilot, screen)
        stands = path.read_text("utf-8")
        await pilot.press("n")
        asked = await wait_for(pilot, AskForm)
        asked.query_one(Field).value = "long-dipole"
        asked.query_one(Form).submit()
        await idle(pilot, screen)

    assert "evening-net" in refused
    assert stands == before
    assert path.read_text("utf-8") == before.replace("dipole-40", "long-dipole")


async def test_an_unfinished_entry_is_given_up_only_when_that_is_meant(
    app: StandclearApp, new: Path
) -> None:
    """Escape keeps what was typed; x asks before it is lost."""
    async with app.run_test(size=SIZE) as pilot:
        screen = await begun(pilot, new)
        await to_line(pilot, screen, "people")
        await pilot.press("a")
        form: Any = await wait_for(pilot, AskEntry)
        await until(pilot, lambda: bool(form.query(Field)))
        form.query(Field).first().value = "wren"
        await pilot.press("escape")
        left = await idle(pilot, screen)
        await to_line(pilot, screen, "wren")
        await pilot.press("x")
        await wait_for(pilot, AskYes)
        await pilot.press("n")
        kept = await idle(pilot, screen)
        await pilot.press("x")
        await wait_for(pilot, AskYes)
        await pilot.press("y")
        gone = await idle(pilot, screen)

    assert "Kept as unfinished: wren." in left
    assert "UNFINISHED" in kept
    assert "Given up: wren." in gone
    assert not new.with_name("new.unfinished.yaml").exists()


async def test_a_new_station_needs_what_every_station_has(app: StandclearApp, new: Path) -> None:
    """No set of limits is chosen for anybody; one that is unknown, or none, begins no file."""
    said = []
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        await pilot.press("s")
        await wait_for(pilot, AskOne)
        await pilot.press("n")
        asked = await wait_for(pilot, AskForm)
        prefilled = {row.row.name: row.text for row in asked.query(FormRow)}
        given = {"file": str(new), "name": "Bend", "address": "1 Track", "jurisdiction": "US"}
        for limits, says in (("?", "without the exposure limits"), ("mine", "is no set of limits")):
            asked = await wait_for(pilot, AskForm)
            await until(pilot, lambda: bool(asked.query(Field)))  # noqa: B023 - read at once
            for row in asked.query(FormRow):
                row.query_one(Field).value = {**given, "limits": limits}[row.row.name]
            asked.query_one(Form).submit()
            await until(pilot, lambda: says in " ".join(text_of(app).split()))  # noqa: B023 - at once
            said.append(new.exists())

    assert set(prefilled.values()) == {""}
    assert said == [False, False]
