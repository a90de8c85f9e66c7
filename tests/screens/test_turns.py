"""Keys go first: how threads take turns, when garbage is looked for, what is loaded in a thread."""

from __future__ import annotations

import gc
import sys
import threading
from importlib import import_module

import pytest

from checklist.screens import turns
from checklist.screens.turns import TURN_S, keys_first, loaded, tidy


def test_what_is_set_is_given_back() -> None:
    """Short turns and no full collection of Python's own meanwhile; then both as before."""
    before = sys.getswitchinterval(), gc.get_threshold()
    give_back = keys_first()
    meanwhile = sys.getswitchinterval(), gc.get_threshold()
    give_back()

    assert meanwhile[0] == pytest.approx(TURN_S)
    assert meanwhile[1][:2] == before[1][:2]
    assert meanwhile[1][2] > 1000 * before[1][2]
    assert sys.getswitchinterval() == pytest.approx(before[0])
    assert gc.get_threshold() == before[1]


@pytest.mark.parametrize(("looks", "collected"), [(9, 0), (10, 1), (500, 1)])
def test_all_garbage_is_looked_for_as_often_as_python_would(
    monkeypatch: pytest.MonkeyPatch, looks: int, collected: int
) -> None:
    """After ten looks through the young objects, Python's own number, and not before."""
    done: list[int] = []
    monkeypatch.setattr(gc, "get_count", lambda: (700, 3, looks))
    monkeypatch.setattr(gc, "collect", lambda: done.append(1))
    tidy()

    assert len(done) == collected


async def test_only_what_is_missing_is_loaded_and_in_a_thread(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What is there already costs nothing; the rest comes in off the event loop."""
    came: list[tuple[str, bool]] = []

    def noted(name: str) -> object:
        came.append((name, threading.current_thread() is threading.main_thread()))
        return import_module(name)

    monkeypatch.setattr(turns, "import_module", noted)
    monkeypatch.delitem(sys.modules, "colorsys", raising=False)
    await loaded("json", "colorsys")
    await loaded("json", "colorsys")

    assert came == [("colorsys", False)]
