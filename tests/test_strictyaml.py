"""YAML read strictly: nothing guessed, every place known, every refusal in our words."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from checklist.strictyaml import YamlRefused, read_yaml

REFUSED = {
    "alias": ("a: &x 1\nb: *x", "line 1, column 4: anchors and aliases (& and *)"),
    "anchor alone": ("a: &x 1", "line 1, column 4: anchors and aliases"),
    "own tag": ("a: !foo 1", "line 1, column 4: tags (!) are not read here"),
    "standard tag": ("a: !!binary aGk=", "line 1, column 4: tags (!) are not read here"),
    "string tag": ("a: !!str no", "line 1, column 4: tags (!) are not read here"),
    "python tag": ("a: !!python/object:os.system x", "line 1, column 4: tags (!)"),
    "tag on a key": ("!foo a: 1", "line 1, column 1: tags (!) are not read here"),
    "tag on a list": ("a: !!set {b}", "line 1, column 4: tags (!) are not read here"),
    "two documents": ("a: 1\n---\nb: 2", "line 2, column 1: a second document begins here"),
    "key twice": ("a: 1\nb: 2\na: 3", "line 3, column 1: “a” stands twice"),
    "key twice, quoted": ('a: 1\n"a": 3', "line 2, column 1: “a” stands twice"),
    "key twice, deep": ("a: {b: 1, b: 2}", "line 1, column 11: “b” stands twice"),
    "key that is a list": ("? [a]\n: b", "line 1, column 3: a key must be a plain word"),
    "tab": ("a:\n\tb: c", "line 2, column 1: no text can begin with this character. Indent with"),
    "colon": ("a: b: c", "line 1, column 5: a colon stands where none can"),
    "open quote": ('a: "b', "line 1, column 6: a quote is not closed"),
    "open list": ("a: [1, 2", "line 2, column 1: a list in [ ] is not closed"),
    "open mapping": ("a: {b: 1", "line 2, column 1: a mapping in { } is not closed"),
    "no colon": ("a: 1\nb\nc: 2", "line 3, column 1: a key has no colon"),
    "NUL": ("a: 1\nb: x\x00y", "line 2, column 5: the character U+0000 cannot be read"),
    "escape": ("a: \x1b[2J", "line 1, column 4: the character U+001B cannot be read"),
    "lone surrogate": ("a: \ud800", "line 1, column 4: the character U+D800 cannot be read"),
    "escaped NUL": ('a: "\\0"', "line 1, column 4: character 1 is U+0000, which cannot be kept"),
    "escaped escape": ('a: "x\\e[2J"', "line 1, column 4: character 2 is U+001B"),
    "bidirectional": ("a: x\u202ey", "line 1, column 4: character 2 is U+202E"),
    "hidden in a key": ("a\u200bb: x", "line 1, column 1: character 2 is U+200B"),
    "mark in the middle": ("a: b\ufeffc", "line 1, column 4: character 2 is U+FEFF"),
    "nothing": ("", "the file is empty"),
    "only a comment": ("# nothing", "the file is empty"),
    "too deep": ("[" * 30 + "]" * 30, "line 1, column 25: nested too deeply"),
    "far too deep": ("[" * 100_000, "nested too deeply"),
    "far too deep, in blocks": (
        "\n".join(" " * i + "a:" for i in range(1200)), "line 25, column 25: nested too deeply"
    ),
    "too large": ("a: " + "x" * 1_000_000, "the file has 1000003 characters. Split it."),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_refused_is_said_with_its_place(name: str) -> None:
    """One sentence with file, line and column."""
    text, says = REFUSED[name]
    with pytest.raises(YamlRefused) as refused:
        read_yaml(text, "club.yaml")

    sentence = refused.value.sentence()
    assert sentence.startswith("club.yaml")
    assert says in sentence
    assert "\n" not in sentence


@pytest.mark.parametrize(
    "word", ["no", "yes", "on", "true", "12:30", "1_000", "0x10", "1e3", "2026-11-25", ".5", "Null"]
)
def test_words_stay_words(word: str) -> None:
    """What other readers turn into truth values, numbers and dates is text here."""
    assert read_yaml(f"a: {word}\n{word}: b", "f").data == {"a": word, word: "b"}


def test_a_merge_key_merges_nothing() -> None:
    """`<<` is a key like any other, for the file's own reader to refuse."""
    assert read_yaml("a: {<<: {b: c}}", "f").data == {"a": {"<<": {"b": "c"}}}


def test_a_mark_at_the_beginning_and_other_line_ends_are_read() -> None:
    """Editors on other systems write them."""
    assert read_yaml("\ufeffa: b\r\nc: d\r\n", "f").data == {"a": "b", "c": "d"}


def test_every_key_and_item_has_its_place() -> None:
    """Lines and columns are counted from 1; an unknown part is placed at what holds it."""
    document = read_yaml("a: 1\nb:\n  - x\n  - {c: y}\n", "f")

    assert document.data == {"a": "1", "b": ["x", {"c": "y"}]}
    assert document.where(("a",)) == "f, line 1, column 1"
    assert document.where(("b", 0)) == "f, line 3, column 5"
    assert document.where(("b", 1, "c")) == "f, line 4, column 6"
    assert document.where(("b", 1, "missing", "deep")) == "f, line 4, column 5"
    assert document.where(()) == "f, line 1, column 1"


PLAIN = st.recursive(
    st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), max_size=12),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text("abc-<~ :#", min_size=1, max_size=6), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.text("abcdef", min_size=1), PLAIN, min_size=1, max_size=4))
def test_what_another_writer_wrote_is_read_back_as_text(data: dict[str, object]) -> None:
    """Plain data written by the YAML library, quoted, comes back the same."""
    text = yaml.safe_dump(data, default_style='"', allow_unicode=True)

    assert read_yaml(text, "f").data == data


@given(st.text(max_size=60) | st.text("ab:-[]{}#&*!|>'\"%@ \n\t,?", max_size=60))
def test_any_text_is_read_or_refused_in_a_sentence(text: str) -> None:
    """No text at all brings out another exception."""
    try:
        document = read_yaml(text, "f")
    except YamlRefused as refused:
        said = refused.sentence()
    else:
        said = document.where(())

    assert said.startswith("f")
