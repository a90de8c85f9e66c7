"""The example station as the engine sees it, with its evaluation, found once."""

from __future__ import annotations

import pytest

from checklist.calculations.exposure import (
    Evaluation,
    Figures,
    LimitSet,
    evaluate,
    figures,
    load_limits,
)
from checklist.calculations.exposure.model import Scene
from checklist.rulebook import Book
from checklist.shipped import shipped_rules
from checklist.station import load_station
from checklist.station.scene import scene_of
from tests.calculations.conftest import book
from tests.station.example import example

__all__ = ["book"]


@pytest.fixture(scope="session")
def numbers(book: Book) -> Figures:
    return figures(book)


@pytest.fixture(scope="session")
def fcc(book: Book) -> LimitSet:
    text = (shipped_rules() / "limits" / "fcc-1310.yaml").read_text("utf-8")
    return load_limits({"limits/fcc-1310.yaml": text}, book.sources)["fcc-1310"]


@pytest.fixture(scope="session")
def scene(numbers: Figures) -> Scene:
    return scene_of(load_station(example(), "station.yaml"), numbers).scene


@pytest.fixture(scope="session")
def evaluation(scene: Scene, fcc: LimitSet, book: Book) -> Evaluation:
    return evaluate(scene, fcc, book)
