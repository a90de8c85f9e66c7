"""The session file's lines: one spelling, one chain, torn ends and damage told apart."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checklist.record.errors import Damaged, RecordError
from checklist.record.files import strictjson
from checklist.record.files.strictjson import DEEPEST, LARGEST_WHOLE, JsonRefused, dump, parse
from checklist.record.journals.journal import Journal, read_lines
from checklist.record.journals.lines import (
    LONGEST_LINE,
    compose,
    first_previous,
    hash_of,
    parse_line,
    scan,
)
from checklist.record.journals.seal import resume_session
from tests.conftest import Tried
from tests.record.clubs import laptop
from tests.record.making import HandClock, begin, open_folder

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.record.files.strictjson import Json

SESSION = "a" * 32

ABUSE = {
    "NaN": b'{"a":NaN}',
    "Infinity": b'{"a":Infinity}',
    "1e400": b'{"a":1e400}',
    "a fraction": b'{"a":1.5}',
    "2^53": b'{"a":9007199254740992}',
    "5,000 digits": b'{"a":' + b"9" * 5000 + b"}",
    "minus zero": b'{"a":-0}',
    "a leading zero": b'{"a":01}',
    "a key twice": b'{"a":1,"a":2}',
    "a key twice, once escaped": b'{"a":1,"\\u0061":2}',
    "a needless escape": b'{"\\u0061":1}',
    "deep": b'{"a":' + b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1) + b"}",
    "very deep": b'{"a":' + b"[" * 100_000 + b"]" * 100_000 + b"}",
    "byte order mark": b'\xef\xbb\xbf{"a":1}',
    "UTF-16": '{"a":1}'.encode("utf-16"),
    "overlong UTF-8": b'{"a":"\xc0\xaf"}',
    "a lone surrogate, escaped": b'{"a":"\\ud800"}',
    "a lone surrogate, encoded": b'{"a":"\xed\xa0\x80"}',
    "a raw control character": b'{"a":"\x01"}',
    "a blank": b'{"a": 1}',
    "a list": b"[1]",
    "a text": b'"a"',
    "a comment": b'{"a":1}//',
    "two documents": b'{"a":1}{"b":2}',
    "nothing": b"",
}


@pytest.mark.parametrize("abuse", ABUSE)
def test_abuse_is_refused(abuse: str, tried: Tried) -> None:
    """Whatever readers may understand differently (RFC 8259, 4, 6, 8) is refused in a sentence."""
    with pytest.raises(JsonRefused):
        parse(ABUSE[abuse])
    tried("abuse", 1)


@pytest.mark.parametrize(
    "value", [1.5, float("nan"), b"x", {1: "a"}, (1,), LARGEST_WHOLE + 1, {"a"}, "\ud800"]
)
def test_what_cannot_be_kept_is_refused(value: object) -> None:
    """Floats, bytes, sets, large numbers and broken text do not enter the record."""
    with pytest.raises(JsonRefused):
        dump({"a": value})


def values() -> st.SearchStrategy[Json]:
    text = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
    whole = st.integers(-LARGEST_WHOLE, LARGEST_WHOLE)
    plain: st.SearchStrategy[Json] = st.none() | st.booleans() | whole | text
    return st.recursive(
        plain,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(text, inner, max_size=3),
        max_leaves=12,
    )


def spelled_loosely(data: dict[str, Json]) -> bytes:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode(errors="replace")


@given(st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), values(), max_size=4))
def test_what_is_kept_is_read_back(data: dict[str, Json]) -> None:
    """Everything that may be kept comes back the same, by this reader and by Python's own."""
    assert parse(dump(data)) == data
    assert json.loads(dump(data)) == data


def refused_or_read(data: bytes) -> dict[str, Json] | None:
    try:
        return strictjson._part_by_part(data)
    except JsonRefused:
        return None


@settings(deadline=None)  # other programs may have the processor meanwhile
@given(
    data=st.dictionaries(st.text(max_size=3), values(), max_size=3).map(spelled_loosely),
    at=st.integers(0, 200),
    put=st.sampled_from(
        [b"", b" ", b"0", b"-", b".5", b'"', b"\\", b"[", b"]", b"{}", b",", b"null"]
    ),
)
def test_reading_at_once_accepts_nothing_more(data: bytes, at: int, put: bytes) -> None:
    """What is read in one go is what the reader that looks at each part reads, and no more."""
    changed = data[:at] + put + data[at + 1 :]
    for one in (data, changed):
        at_once = strictjson._at_once(one)

        assert at_once is None or at_once == refused_or_read(one)
        assert at_once is not None or refused_or_read(one) is None


def test_depth_is_counted_by_what_is_nested() -> None:
    """Brackets in texts neither hide a level nor make one: 16 levels are kept, 17 refused."""
    for levels, is_kept in ((DEEPEST, True), (DEEPEST + 1, False)):
        inner = levels - 1  # the document itself is the first
        lists = b'["]",' * inner + b"0" + b',"["]' * inner
        data = b'{"a":' + lists + b"}"

        assert (strictjson._at_once(data) is not None) is is_kept
        assert (refused_or_read(data) is not None) is is_kept


def test_every_changed_byte_of_a_document(tried: Tried) -> None:
    """With any bit of a document flipped, both ways of reading agree."""
    data = dump({"n": 1, "a": ["x", None, True, {"b": '\u00e4\n"', "c": -7}], "d": {}})
    changed = [
        data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :]
        for at in range(len(data))
        for bit in range(8)
    ]
    tried("bytes", len(changed))

    assert [strictjson._at_once(one) for one in changed] == list(map(refused_or_read, changed))


@pytest.fixture
def journal(tmp_path: Path) -> Journal:
    made = begin(open_folder(tmp_path / "logs"), SESSION)
    for number in range(3):
        made.append("answered", {"step": number, "typed": "41 ft", "unit": "ft"})
    return made


def written(journal: Journal) -> bytes:
    """Return the lines of a session that goes on, without the room behind them."""
    return journal.path.read_bytes().rstrip(b"\0")


def test_each_line_names_the_one_before(journal: Journal) -> None:
    """`previous` is the SHA-256 of the line before, newline included, as sha256sum gives it."""
    lines = written(journal).splitlines(keepends=True)

    assert json.loads(lines[0])["previous"] == hash_of(f"standclear session {SESSION}\n".encode())
    assert [json.loads(line)["previous"] for line in lines[1:]] == [hash_of(x) for x in lines[:-1]]
    assert first_previous(SESSION) == json.loads(lines[0])["previous"]


def test_what_append_returns_is_what_is_read(journal: Journal) -> None:
    """The lines in memory are those on disk, and the digest is that of the file."""
    data = written(journal)

    assert read_lines(journal._folder.disk, journal.path) == journal.lines
    assert (journal.digest().sha256, journal.digest().size) == (hash_of(data), len(data))
    assert [compose(line) for line in journal.lines] == data.splitlines(keepends=True)


def test_resume_goes_on_where_it_stopped(journal: Journal) -> None:
    """Closed and opened again, the file has the same bytes and takes the next line."""
    before = written(journal)
    journal.close()
    assert journal.path.read_bytes() == before
    again, torn = Journal.resume(journal._folder, SESSION)
    assert torn is None
    assert journal.path.read_bytes() == before
    again.append("answered", {"step": 3})

    assert [line.number for line in read_lines(again._folder.disk, again.path)] == [1, 2, 3, 4, 5]
    assert again.digest().sha256 == hash_of(written(again))


TAILS = {
    "a part of a line": b'{"n":5,"previous":"00',
    "zeros before a part of a line": bytes(200) + b'"data":{}}',
    "zeros before a newline": bytes(200) + b"\n",
    "noise with newlines": bytes(range(256)),
    "a newline": b"\n",
    "a line of another kind": b'{"n":5}\n',
}


@pytest.mark.parametrize("tail", TAILS)
def test_a_torn_tail_goes_to_quarantine(journal: Journal, tail: str) -> None:
    """Bytes of a write that never finished are kept aside, and the good lines stay."""
    journal.close()
    with journal.path.open("ab") as file:
        file.write(TAILS[tail])
    with pytest.raises(Damaged, match="no line"):
        read_lines(journal._folder.disk, journal.path)
    again, torn = resume_session(journal._folder, SESSION)

    assert torn is not None
    assert torn.kept_at.read_bytes() == TAILS[tail]
    assert again.lines == journal.lines


@pytest.mark.parametrize("line", [0, 1, 2])
def test_damage_before_the_end_is_no_torn_tail(journal: Journal, line: int) -> None:
    """A flaw followed by a whole line stops with an error, and the file is left as it is."""
    journal.close()
    lines = journal.path.read_bytes().splitlines(keepends=True)
    lines[line] = b"x" + lines[line][1:]
    journal.path.write_bytes(b"".join(lines))
    with pytest.raises(Damaged, match=f"line {line + 1}"):
        Journal.resume(journal._folder, SESSION)

    assert journal.path.read_bytes() == b"".join(lines)


def test_every_cut_gives_whole_lines_or_a_torn_tail(journal: Journal) -> None:
    """Cut at any byte, the file gives exactly the lines that are whole, and sets the rest aside."""
    data = written(journal)
    for cut in range(len(data) + 1):
        found = scan(data[:cut], SESSION)

        assert len(found.lines) == data[:cut].count(b"\n")
        assert data[: found.good] + found.torn == data[:cut]


def test_a_line_of_another_session_does_not_fit(journal: Journal) -> None:
    """A file under another session's name does not pass as that session."""
    with pytest.raises(Damaged, match="hash differs"):
        scan(journal.path.read_bytes(), "b" * 32)


def test_a_line_that_is_too_long_is_refused_before_writing(journal: Journal) -> None:
    """An entry beyond the limit is refused in a sentence, and the writer goes on."""
    with pytest.raises(RecordError, match="attach a file"):
        journal.append("answered", {"note": "x" * LONGEST_LINE})
    journal.append("answered", {"note": "short"})

    assert len(journal.lines) == 5


@pytest.mark.parametrize("what", ["", "Answered", "a" * 41, "answer\n", "né"])
def test_names_of_events_are_plain(journal: Journal, what: str) -> None:
    """An event has a short name in small letters."""
    with pytest.raises(RecordError, match="no name of an event"):
        journal.append(what, {})


def test_other_spellings_of_a_line_are_refused(journal: Journal) -> None:
    """A line whose parts are in another order, or of another type, is damaged."""
    line = journal.path.read_bytes().splitlines(keepends=True)[1]
    changes = [
        (b'{"n":2', b'{"n":true'),
        (b'{"n":2', b'{"n":0'),
        (b'{"n":2', b'{"n":"2"'),
        (b"+00:00", b"-00:00"),
        (b"+00:00", b"Z"),
        (b'"boot_ns":"', b'"boot_ns":"0'),
        (b'"data":{', b'"data":[{'),
        (b'"what":"answered",', b""),
    ]
    for old, new in changes:
        changed = line.replace(old, new, 1)
        assert changed != line
        with pytest.raises(RecordError):
            parse_line(changed)


def test_what_is_returned_is_what_a_reader_finds() -> None:
    """A time is cut to the millisecond before it is written, not only in what is written."""
    clock = HandClock(wall=HandClock().wall.replace(microsecond=700_100))
    journal = begin(laptop("laptop", clock), SESSION)
    line = journal.append("answered", {})
    found = read_lines(journal._folder.disk, journal.path)

    assert line.at.microsecond == 700_000
    assert found == journal.lines
