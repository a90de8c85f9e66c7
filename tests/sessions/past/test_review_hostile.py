"""Folders that somebody made with bad intent, whole by their hashes, are read without harm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from checklist.record.journals.lines import Line, compose, first_previous, hash_of, read_lines
from checklist.sessions.desk import Desk
from checklist.sessions.overview import overview
from checklist.sessions.past.cataloguing import catch_up
from checklist.sessions.past.recorddata import as_data
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session
from tests.sessions.pastsessions import desk_at, walked

ODD: tuple[Any, ...] = (None, 7, True, [], ["x"], {}, {"a": ["b"]}, "", "\u202e", "9" * 400)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


def hold_out(desk: Desk, first: int, every: int) -> None:
    """Read a session with one value replaced, for each value of it and every so many odd ones."""
    session = walked(desk)
    session.close()
    path = desk.folder.session_file(session.id)
    lines = read_lines(desk.folder.disk, path)
    places = [(number, spot) for number, line in enumerate(lines) for spot in spots(line.data)]
    assert len(places) > 60
    cases = [(*place, odd) for place in places for odd in ODD]
    for number, spot, odd in cases[first::every]:
        changed = [
            replace(line, data=put(line.data, spot, odd)) if at == number else line
            for at, line in enumerate(lines)
        ]
        path.write_bytes(chained(session.id, changed))
        record = read_session(desk, session.id)

        assert all(line.isprintable() for line in as_text(record))
        assert as_data(record)["session"] == session.id
        assert [walk.session_id for walk in overview(desk).unfinished] == [session.id]
        assert len(catch_up(desk.folder).cards) == 1


def test_a_value_may_be_anything(desk: Desk) -> None:
    """With one value replaced and the chain made whole again, everything still shows it."""
    hold_out(desk, 3, 17)  # a stride that has no divisor in common with the number of odd values


@pytest.mark.long
def test_any_value_may_be_anything(desk: Desk) -> None:
    """The same for every value of a session and every odd thing in its place."""
    hold_out(desk, 0, 1)


def spots(data: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the way to every value inside a line's data."""
    items = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in items:
        yield (*at, key)
        if isinstance(value, dict | list):
            yield from spots(value, (*at, key))


def put(data: Any, spot: tuple[Any, ...], value: Any) -> Any:
    """Return the data with another value at one spot."""
    copy = dict(data) if isinstance(data, dict) else list(data)
    copy[spot[0]] = value if len(spot) == 1 else put(copy[spot[0]], spot[1:], value)
    return copy


def chained(session_id: str, lines: list[Line]) -> bytes:
    """Return the lines as a session file whose hashes fit."""
    previous, written = first_previous(session_id), b""
    for line in lines:
        piece = compose(replace(line, previous=previous))
        previous = hash_of(piece)
        written += piece
    return written
