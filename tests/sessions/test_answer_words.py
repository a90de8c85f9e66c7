"""The words that every step understands, at the fields of every kind of step."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checklist.calculations.reading import UNKNOWN_WORDS
from checklist.commands.filling import fill
from checklist.errors import StandclearError
from checklist.rulefile import Compute, Step
from checklist.sessions.entryrows import rows_for
from checklist.sessions.filledrows import typed_answer
from checklist.sessions.known import Known
from checklist.sessions.library import Library
from checklist.walk.entrylines import ASIDE_WORDS

NAMES = ("tower-work", "release", "station-bonding", "exposure-review", "emergency-power")


def _typed_steps() -> dict[str, Step]:
    """Return one step of each kind that is typed into fields."""
    steps = [s for name in NAMES for s in Library().load(name).rule_file.steps]
    typed = [s for s in steps if rows_for(s, Known())]
    return {type(s.kind).__name__: s for s in typed}


STEPS = _typed_steps()


def _given(step: Step, word: str) -> object:
    values = fill(rows_for(step, Known()), "", lambda prompt: word)
    return typed_answer(step, values, "Wren Holloway")[0]


def test_every_kind_that_is_typed_is_here() -> None:
    """A new kind of step must be tried as well."""
    assert set(STEPS) == {"Reading", "Text", "People", "Tag", "TagsOff", "OfStation", "Compute"}


@pytest.mark.parametrize("word", sorted(ASIDE_WORDS))
@pytest.mark.parametrize("kind", sorted(STEPS))
def test_a_step_is_set_aside_where_the_rule_file_lets_it(kind: str, word: str) -> None:
    """The word at its first field sets it aside; where it applies always, each field refuses it."""
    step = STEPS[kind]

    assert _given(replace(step, may_not_apply=True), word.upper()) == "n/a"
    for row in rows_for(replace(step, may_not_apply=False), Known()):
        with pytest.raises(StandclearError, match="applies always"):
            row.check(word)


@pytest.mark.parametrize("word", sorted(UNKNOWN_WORDS))
@pytest.mark.parametrize("kind", sorted(STEPS))
def test_what_is_not_known_is_an_answer_at_every_field(kind: str, word: str) -> None:
    """Every such word is taken; it is the answer of the step, or of one input of a sum."""
    step = STEPS[kind]
    typed = _given(step, word)

    if isinstance(step.kind, Compute):
        assert isinstance(typed, dict)
        assert {str(v) if isinstance(v, str) else v[0] for v in typed.values()} == {word}
    else:
        assert typed == "don't know"
