"""Text is data: what may enter, and what may reach a terminal."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.names import name_key
from checklist.plaintext import LONGEST, TextRefused, accept, says_something, shown

ESCAPES = {
    "CSI": "\x1b[2J",
    "OSC 52": "\x1b]52;c;ZWNobw==\x07",
    "C1 CSI": "\x9b2J",
    "NUL": "\x00",
    "backspace": "a\x08b",
    "carriage return": "good\rbad",
    "right to left override": "\u202e",
    "left to right isolate": "\u2066",
    "right to left mark": "\u200f",
    "arabic letter mark": "\u061c",
    "zero width space": "\u200b",
    "word joiner": "\u2060",
    "soft hyphen": "\u00ad",
    "byte order mark": "\ufeff",
    "line separator": "\u2028",
    "hangul filler": "\u3164",
    "braille blank": "\u2800",
    "lone surrogate": "\ud800",
    "private use": "\ue000",
    "tag": "\U000e0041",
    "not assigned": "\U0003ffff",
}


@pytest.mark.parametrize("name", ESCAPES)
def test_what_acts_or_hides_does_not_enter(name: str) -> None:
    """It is refused, naming the field, the position and the code point."""
    harmful = ESCAPES[name]
    with pytest.raises(TextRefused) as refused:
        accept(f"ab{harmful}", field="note")

    bad = next(c for c in harmful if c not in "abgood")
    assert refused.value.sentence().startswith("note: character ")
    assert f"U+{ord(bad):04X}" in refused.value.sentence()


@pytest.mark.parametrize("name", ESCAPES)
def test_what_acts_or_hides_is_written_out_where_it_is_shown(name: str) -> None:
    """Old files are readable, and nothing in them acts."""
    text = shown(f"ab{ESCAPES[name]}")

    assert "<U+" in text
    assert not any(unicodedata.category(c) in {"Cc", "Cs", "Co", "Cn"} for c in text)
    assert all(c not in text for c in ESCAPES[name] if not c.isprintable())


@given(st.text(st.characters()))
def test_nothing_shown_can_act(text: str) -> None:
    """Whatever the text, what is shown has no control, surrogate or unassigned character."""
    for lines in (False, True):
        out = shown(text, lines=lines)
        controls = {c for c in out if unicodedata.category(c) in {"Cc", "Cs", "Co", "Cn"}}

        assert controls <= ({"\n"} if lines else set())
        assert shown(out, lines=lines) == out


@given(st.text(st.characters(), max_size=200))
def test_what_is_accepted_is_shown_as_it_is(text: str) -> None:
    """What enters is kept in NFC, stripped, and needs nothing written out."""
    try:
        kept = accept(text, field="note", lines=True)
    except TextRefused:
        return

    assert kept == unicodedata.normalize("NFC", text).strip()
    assert accept(kept, field="note", lines=True) == kept
    assert shown(kept, lines=True) == kept.replace("\t", " ")


def test_scripts_and_signs_of_people_are_kept() -> None:
    """Accents, other scripts, joiners inside words, emoji: all of them are text."""
    for text in ("Zoë Ångström", "می‌خواهم", "क्‍ष", "日本語", "5′11″ – 20 ft²", "🗼"):
        assert accept(text, field="name") == text
        assert shown(text) == text


def test_markup_is_text() -> None:
    """Square brackets and angle brackets are nothing special here."""
    for text in ("D[/x]E", "[x=1]", "[@click=quit]", "<b>", "{a}", "%s", "$(x)"):
        assert accept(text, field="note") == text
        assert shown(text) == text


def test_lines_are_kept_only_where_they_are_asked_for() -> None:
    """A line break is refused in one line, and shown as a space there."""
    assert accept("a\nb\tc", field="note", lines=True) == "a\nb\tc"
    with pytest.raises(TextRefused, match=r"U\+000A"):
        accept("a\nb", field="note")
    assert shown("a\nb") == "a b"
    assert shown("a\nb", lines=True) == "a\nb"


def test_a_text_has_a_longest_length() -> None:
    """Exactly the longest is kept; one more is refused with both numbers."""
    assert accept("x" * LONGEST, field="note") == "x" * LONGEST
    with pytest.raises(TextRefused, match=r"has 4001 characters\. At most 4000 fit"):
        accept("x" * (LONGEST + 1), field="note")


@pytest.mark.parametrize("text", ["", " ", "...", "-", "\u200d", "\u00a0", "!?", "—"])
def test_dots_and_blanks_say_nothing(text: str) -> None:
    """Evidence must hold a letter or a digit at least."""
    assert not says_something(text)
    assert says_something(f"{text}7")


def test_two_spellings_of_a_name_are_one_person() -> None:
    """Case, composition and blanks make no difference, a missing blank does."""
    assert name_key("Zoë  ASHBY ") == name_key("zoe\u0308 ashby")
    assert name_key("Ann Alee") != name_key("Anna Lee")
