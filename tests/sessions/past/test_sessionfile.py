"""A session file that the ledger names is read as strictly as any other."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from checklist.record.files.strictjson import dump
from checklist.record.journals.journal import FileMark
from checklist.record.journals.lines import hash_of
from checklist.record.journals.states import SessionState, state_of
from checklist.record.ledgers.ledger import Ledger
from checklist.sessions.desk import Desk
from checklist.sessions.past.cataloguing import catch_up
from checklist.sessions.past.sessionfile import is_as_ended, understood
from tests.conftest import Tried
from tests.sessions.pastsessions import desk_at, sealed, walked


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return desk_at(tmp_path_factory.mktemp("named"))


@pytest.fixture(scope="module")
def whole(desk: Desk) -> tuple[str, bytes]:
    """Return a sealed session and the bytes of its file."""
    session = walked(desk)
    sealed(desk, session)
    return session.id, desk.folder.session_file(session.id).read_bytes()


def lines_with(data: bytes, old: bytes, new: bytes) -> bytes:
    """Return the file with a text in it replaced once."""
    assert old in data
    return data.replace(old, new, 1)


HOSTILE = {
    "NaN": (b'"n":2', b'"n":NaN'),
    "infinity": (b'"n":2', b'"n":1e400'),
    "a fraction": (b'"n":2', b'"n":2.0'),
    "a negative zero": (b'"n":2', b'"n":-0'),
    "text for a number": (b'"n":2', b'"n":"2"'),
    "truth for a number": (b'"n":2', b'"n":true'),
    "2^53 + 1": (b'"data":{', b'"data":{"a":9007199254740993,'),
    "5,000 digits": (b'"data":{', b'"data":{"a":' + b"9" * 5000 + b","),
    "a key twice": (b'"what":"answered"', b'"what":"noted","what":"answered"'),
    "a key twice inside": (b'"data":{', b'"data":{"step":"clear",'),
    "a key twice, once escaped": (b'"what":"answered"', b'"wh\\u0061t":"noted","what":"answered"'),
    "an escape for nothing": (b'"what":"answered"', b'"what":"\\u0061nswered"'),
    "an escaped slash": (b'"what":"answered"', b'"what":"answered\\/"'),
    "a blank": (b'"n":2', b'"n": 2'),
    "parts in another order": (b'"boot":"', b'"boot_ns":"0","boot":"'),
    "a part too many": (b'"n":2,', b'"n":2,"more":1,'),
    "depth": (b'"data":{', b'"data":{"a":' + b"[" * 5000 + b"]" * 5000 + b","),
    "seventeen levels": (b'"data":{', b'"data":{"a":' + b"[" * 17 + b"]" * 17 + b","),
    "levels between brackets in texts": (
        b'"data":{',
        b'"data":{"a":' + b'["]",' * 17 + b"0" + b',"["]' * 17 + b",",
    ),
    "a byte order mark": (b'{"n":1,', b'\xef\xbb\xbf{"n":1,'),
    "overlong UTF-8": (b"thunder", b"\xc0\xaf"),
    "a raw surrogate": (b"thunder", b"\xed\xa0\x80"),
    "a lone surrogate": (b"thunder", b"\\ud800"),
    "a control character": (b"thunder", b"\x1b[2J"),
    "nothing where a line was": (b"\n", b"\n\n"),
    "a carriage return": (b"\n", b"\r\n"),
    "no newline at the end": (b"}\n", b"}"),
    "a year that is none": (b'"at":"2026', b'"at":"0000'),
    "a time without its offset": (b"+00:00", b""),
    "a boot before the boot": (b'"boot_ns":"', b'"boot_ns":"-'),
    "blanks in the time since boot": (b'"boot_ns":"', b'"boot_ns":" '),
    "a hash that does not follow": (b'"previous":"', b'"previous":"0'),
    "a later form": (b"standclear session 1", b"standclear session 2"),
    "a very long line": (b'"data":{', b'"data":{"a":"' + b"a" * 300_000 + b'",'),
}
"""Something in a session file, and what a hostile hand puts in its place."""


@pytest.mark.parametrize("what", HOSTILE)
def test_what_is_in_no_form_is_said(what: str, whole: tuple[str, bytes], tried: Tried) -> None:
    """Whoever has the keys can name any bytes in the ledger; what is not in form is said."""
    session_id, data = whole
    found = understood(lines_with(data, *HOSTILE[what]), session_id)
    tried("abuse", 1)

    assert found.problem


def test_a_file_in_form_is_read_whole(whole: tuple[str, bytes]) -> None:
    """Of a file as it was written every line is there, and nothing is said against it."""
    session_id, data = whole
    found = understood(data, session_id)

    assert found.problem == ""
    assert len(found.lines) == data.count(b"\n") > 8


def test_a_list_says_damaged_of_what_is_in_no_form(tmp_path: Path) -> None:
    """The card of such a file is marked, and tells no other story than the session itself."""
    desk = desk_at(tmp_path)
    session = walked(desk, words="the first words")
    path = desk.folder.session_file(session.id)
    sealed(desk, session)
    twice = dump({"text": "other words"})[1:-1] + b',"text":"the first words"'
    data = path.read_bytes()
    path.write_bytes(lines_with(data, b'"text":"the first words"', twice))
    [card] = catch_up(desk.folder).cards

    assert card.title.endswith("(session file damaged)")


def naming(desk: Desk, session_id: str, data: bytes) -> SessionState:
    """Return the session's state as if its ending had been signed over these bytes."""
    state = state_of(Ledger(desk.folder).of_session(session_id))
    assert state.ending is not None
    mark = FileMark(hash_of(data), len(data))
    ending = replace(state.ending, entry=replace(state.ending.entry, file=mark))
    return replace(state, ending=ending)


def test_without_a_mark_nothing_is_taken_for_signed(desk: Desk, whole: tuple[str, bytes]) -> None:
    """An ending that names no file vouches for none, and neither does a missing ending."""
    session_id, data = whole
    state = naming(desk, session_id, data)
    assert state.ending is not None
    bare = replace(state, ending=replace(
        state.ending, entry=replace(state.ending.entry, file=None)))  # fmt: skip

    assert is_as_ended(data, state)
    assert not is_as_ended(data + b"\n", state)
    assert not is_as_ended(data, bare)
    assert not is_as_ended(data, replace(state, ending=None))
