"""Damaged rule files: whatever is changed in a shipped one, sentences come and nothing breaks."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checklist.rulefile import RuleFileRefused
from checklist.shipped import shipped_rules
from checklist.strictyaml import Path, read_yaml
from checklist.walk.examples import run_example
from tests.rulefile.making import book, loaded

FILES = ("emergency-power", "tower-work")
SENTENCE = re.compile(r"damaged\.yaml, line \d+, column \d+: .+[.?]", re.DOTALL)
LIBRARY = re.compile(
    r"Input should|value_error|pydantic|\[key\]|_type\b|NoneType|Traceback|\bNone\b"
)


@cache
def plain(name: str) -> Any:
    """Return the plain data of a shipped rule file."""
    text = (shipped_rules() / "checks" / f"{name}.yaml").read_text(encoding="utf-8")
    return read_yaml(text, name).data


@cache
def places(name: str) -> tuple[Path, ...]:
    """Return the path of every key and every item of a shipped rule file."""
    return tuple(_below(plain(name), ()))


def _below(data: Any, path: Path) -> Iterator[Path]:
    inner = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in inner:
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from _below(value, (*path, key))


def damaged(name: str, path: Path, how: str) -> str:
    """Return the file with one key or item deleted, renamed or replaced."""
    data = copy.deepcopy(plain(name))
    holder: Any = data
    for part in path[:-1]:
        holder = holder[part]
    last: Any = path[-1]
    old = holder[last]
    replacements: dict[str, Any] = {
        "listed": [old],
        "mapped": {"a": old},
        "word": "word",
        "empty": "",
        "no items": [],
        "no keys": {},
    }
    if how in replacements:
        holder[last] = replacements[how]
    else:
        del holder[last]
    if how == "renamed" and isinstance(holder, dict):
        holder[f"{last}x"] = old
    return yaml.safe_dump(data, sort_keys=False, allow_unicode=True)


def check(text: str) -> int:
    """Load `text`; return how many sentences refuse it. Anything but sentences is raised."""
    try:
        rules = loaded(text, "damaged.yaml")
    except RuleFileRefused as refused:
        errors = refused.errors
    else:
        for example in rules.examples[:3]:
            run_example(rules, example, book())
        return 0

    assert errors
    for sentence in errors:
        assert SENTENCE.fullmatch(sentence), sentence
        assert not LIBRARY.search(sentence), sentence
    return len(errors)


HOW = ("deleted", "renamed", "listed", "mapped", "word", "empty", "no items", "no keys")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_any_one_change_gives_sentences_or_a_file_that_runs(data: st.DataObject) -> None:
    """One key or item deleted, renamed or replaced: sentences with places, or a whole file."""
    name = data.draw(st.sampled_from(FILES))
    path = data.draw(st.sampled_from(places(name)))
    how = data.draw(st.sampled_from(HOW))

    assert check(damaged(name, path, how)) >= 0


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize(
    "key", ["id", "ask", "why", "sources", "part", "valid", "steps", "name", "verdict", "signers"]
)
def test_a_needed_key_that_is_renamed_is_one_sentence(name: str, key: str) -> None:
    """Renaming a needed key is refused in just one sentence that names the right key."""
    path = next(p for p in places(name) if p[-1] == key)
    text = damaged(name, path, "renamed")

    with pytest.raises(RuleFileRefused) as refused:
        loaded(text, "damaged.yaml")

    own = [s for s in refused.value.errors if f"“{key}x” is not known here" in s]
    assert len(own) == 1
    assert own[0].endswith(f"did you mean “{key}”?")
    assert len(refused.value.errors) == 1


@pytest.mark.long
@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("name", FILES)
def test_every_single_change_gives_sentences_or_a_file_that_runs(name: str, how: str) -> None:
    """The same for every key and item of both shipped files."""
    refused = sum(bool(check(damaged(name, path, how))) for path in places(name))

    assert refused > len(places(name)) // 4
