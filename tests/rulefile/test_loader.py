"""What a rule file is refused for, and that every error of a file is said at once."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from checklist.rulefile import Bounds, Compute, Confirm, Effect, People, Reading, Role, Verdict
from tests.rulefile.making import SMALL, changed, errors_of, loaded, small

MISTAKES: dict[str, dict[str, str]] = yaml.safe_load(
    Path(__file__).with_name("mistakes.yaml").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("name", MISTAKES)
def test_one_mistake_is_one_sentence_with_its_place(name: str) -> None:
    """Each mistake alone gives one sentence: file, line, column, and what is wrong."""
    mistake = MISTAKES[name]

    found = errors_of(changed((mistake["old"], mistake["new"])))

    said, whole = f"mast-base.yaml, {mistake['place']}: {mistake['says']}", found[0]
    if said.endswith("…"):
        said, whole = said[:-1], whole[: len(said) - 1]

    assert [whole, len(found)] == [said, 1]


@pytest.mark.parametrize("name", MISTAKES)
def test_the_place_is_where_the_mistake_was_made(name: str) -> None:
    """The line that is named holds the change, or is the first of the part it belongs to."""
    mistake = MISTAKES[name]
    text = changed((mistake["old"], mistake["new"]))
    named = int(mistake["place"].split()[1].rstrip(","))
    first = SMALL[: SMALL.index(mistake["old"])].count("\n") + 1
    last = first + max(mistake["old"].count("\n"), mistake["new"].count("\n"))

    line = text.splitlines()[named - 1]
    opens = line.lstrip().startswith(("- ", "parts:", "clear:", "format:"))

    assert first <= named <= last or (named < first and opens)


TEN = (
    ("written-for: US", "writtenfor: US"),
    ("valid: 8 h\nsigners", "valid: 8 hours long\nsigners"),
    ("different: 2", "different: 2.5"),
    ("stop: [car]", "stop: [truck]"),
    ("confirm: {no: stop}\n        clear:\n          - do: Have",
     "confirm: {yes: stop}\n        clear:\n          - do: Have"),
    ("sources: [dig-811]", "sources: [dig-812]"),
    ("{of: length, example: 30 ft}", "{of: length, example: 30}"),
    ("above: site/gust-stop", "above: 20"),
    ("fact: way", "fact: wayy"),
    ("verdict: stopped", "verdict: stop"),
)  # fmt: skip


def test_ten_mistakes_give_ten_sentences_in_the_order_of_the_file() -> None:
    """Mistakes of shape and of meaning are said together, each once, from the top down."""
    found = errors_of(changed(*TEN))
    lines = [int(sentence.split("line ")[1].split(",")[0]) for sentence in found]

    assert lines == [5, 7, 16, 25, 31, 37, 40, 62, 72, 116]


def test_errors_of_shape_do_not_make_others_up() -> None:
    """What hangs on a step that cannot be read is not called wrong; what does not, is."""
    found = errors_of(
        changed(
            ("choice: {hand: By hand, winch: With a winch, car: With a car}", "choice: hand"),
            ("- id: height", "- id: Height"),
            ("- name: in order", "- nam: in order"),
            ("sources: [dig-811]", "sources: [dig-812]"),
        )
    )

    assert [sentence.partition(": ")[2] for sentence in found] == [
        "keys with their values are needed here, as key: value.",
        "the source “dig-812” is not in rules/sources.yaml.",
        "“Height” is not an id; write small letters, digits and -.",
        "the key “nam” is not known here; did you mean “name”?",
        "no earlier example is named “in order”.",
    ]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("just words", "keys with their values are needed here"),
        ("[1, 2]", "keys with their values are needed here"),
        ("", "the file is empty"),
        ("# nothing\n", "the file is empty"),
        ("format: 1\nparts: none\nexamples: 3\n", "a list is needed here"),
        ("parts: [{steps: [1, [2], {}]}]\nexamples: [x]\n", "keys with their values"),
        ("parts: [{steps: {a: b}}, 3]\nexamples: {}\n", "a list is needed here"),
    ],
)
def test_what_is_no_rule_file_at_all_is_still_told_in_sentences(text: str, says: str) -> None:
    """A text of quite another shape is refused in words, wherever it goes wrong."""
    found = errors_of(text)

    assert any(says in sentence for sentence in found)
    assert all(sentence.startswith("mast-base.yaml") for sentence in found)


def test_everything_written_is_in_the_loaded_file() -> None:
    """A file that is right arrives whole: roles, limits with citations, ways, lives, examples."""
    rules = small()
    gust, lines = rules.step("gust"), rules.step("lines")

    assert [part.name for part in rules.parts] == ["beforehand", "on the spot"]
    assert rules.signers == {Role.IN_CHARGE: 1, Role.HELPER: 1}
    assert isinstance(gust.kind, Reading)
    assert gust.kind.stop.above is not None
    assert gust.kind.stop.above.cited.address == "site/gust-stop"
    assert gust.kind.stop.above.quantity.text() == "20 mph"
    assert gust.life is not None
    assert gust.life.total_seconds() == 1800
    assert isinstance(lines.kind, Compute)
    assert lines.kind.inputs == {"mast-height": "height"}
    assert [way.answer_stands for way in lines.ways] == [False, True]
    assert rules.step("way").ways == ()
    assert rules.step("call").unknown is Effect.CAUTION
    assert rules.examples[1].verdict is Verdict.STOPPED
    assert rules.examples[1].answers["way"] == "hand"


def test_no_is_a_word_and_not_false() -> None:
    """`yes` and `no` reach the model as words; nothing turns them into truth values."""
    rules = small()
    people = rules.step("crew").kind

    assert rules.step("marked").kind == Confirm(Effect.STOP)
    assert rules.examples[0].answers["marked"] == "yes"
    assert isinstance(people, People)
    assert people.trained == frozenset({Role.WORKER})


def test_a_limit_of_the_step_itself_is_cited_by_its_first_source() -> None:
    """A literal limit carries the citation and the standing of the step's first source."""
    rules = loaded(changed(("stop: {above: site/gust-stop}", "stop: {above: 18 mph}")))
    kind: Any = rules.step("gust").kind

    assert kind.stop.above.cited.address == "step/gust/above"
    assert kind.stop.above.cited.value == "18 mph"
    assert "no source" in kind.stop.above.cited.citation
    assert kind.stop.below is None
    assert rules.step("height").kind == Reading("length", "30 ft", "", Bounds(), Bounds())
