"""An evaluation written as plain data and read back, strictly."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from checklist.calculations.exposure import LimitSet, evaluate
from checklist.calculations.exposure.codec import DataRefused, data_of, read_as
from checklist.calculations.exposure.exempt import Exemption
from checklist.calculations.exposure.held import Contribution
from checklist.calculations.exposure.limits import LimitTable
from checklist.calculations.exposure.model import OnLog, Pattern, Place, Scene
from checklist.calculations.exposure.needing import needed_remedies
from checklist.calculations.exposure.onfile import OnFile, evaluation_data, evaluation_from_data
from checklist.calculations.exposure.zones import Zone
from checklist.record.files import strictjson
from checklist.rulebook import Book
from tests.calculations.exposure.making import LAWN, SHACK, dipole, emission, yagi

_STORED = Path(__file__).parent / "kept" / "evaluation-1.json"
_PATTERN = Pattern(((0.0, 0.0), (60.0, 12.0), (180.0, 15.0)))


@pytest.fixture(scope="module")
def made(fcc: LimitSet, book: Book) -> OnFile:
    """Return an evaluation with all three outcomes, wires, a log, remedies and an exemption."""
    over = emission(
        yagi(4.0, pattern=_PATTERN, azimuth_deg=10.0), power_w=1500.0, timing=OnLog(((0, 90),))
    )
    wire = emission(
        dipole("wire", (0.0, 30.0, 12.0), 10.0, 0.001),
        name="twenty metres", transmitter="other rig", frequency_hz=14.2e6,
    )  # fmt: skip
    unknown = emission(yagi(gain_dbi=None), name="unknown", transmitter="third rig")
    far = Place("road", 400.0, 300.0, 0.0, 1.8, controlled=False, conductors_in_reach=False)
    scene = Scene((over, wire, unknown), (LAWN, SHACK, far))
    found = evaluate(scene, fcc, book)
    return OnFile("odd hill", found, ("the mast is upright",), needed_remedies(found, book, 0.5))


def test_what_was_evaluated_reads_back_equal(made: OnFile) -> None:
    """Places, zones, remedies, limits and assumptions are the same objects' equals after JSON."""
    read = evaluation_from_data(json.loads(json.dumps(evaluation_data(made))))

    assert read == made
    assert read.evaluation.places[0].total.deciding == made.evaluation.places[0].total.deciding
    assert any(remedies.found or remedies.not_enough for remedies in read.remedies)


def test_the_record_can_keep_it(made: OnFile) -> None:
    """It has one spelling in the record's JSON, which knows no floats and 16 levels."""
    spelled = strictjson.dump(evaluation_data(made))

    assert evaluation_from_data(strictjson.parse(spelled)) == made


def test_one_stored_long_ago_is_read() -> None:
    """The stored example of form 1 is read, and spelled again gives its own bytes.

    Where this fails, the written form has changed: raise FORM and keep reading the old one.
    """
    spelled = _STORED.read_bytes()
    read = evaluation_from_data(strictjson.parse(spelled))

    assert strictjson.dump(evaluation_data(read)) == spelled
    assert read.station == "invented hill"
    assert {str(place.outcome) for place in read.evaluation.places} == {"within", "over"}
    assert all(zone.says for zone in read.evaluation.zones)


@pytest.mark.parametrize("kind", [Zone, Contribution, Exemption, Scene, LimitTable])
@given(data=st.data())
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_object_reads_back_equal(kind: type, data: st.DataObject) -> None:
    """Whatever texts and numbers stand in an object, it is equal after writing and reading."""
    value = data.draw(st.from_type(kind))
    written = data_of(value)
    assume("nan" not in json.dumps(written))  # it equals nothing, itself included

    assert read_as(kind, json.loads(json.dumps(written)), "here") == value


@given(number=st.floats(allow_nan=False))
def test_every_number_is_kept_exactly(number: float) -> None:
    """The decimal text of a number gives the same number again, to the last bit."""
    zone = Zone("beam", number, None, math.pi, "")

    assert read_as(Zone, data_of(zone), "here") == zone


@given(data=st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
def test_one_wrong_field_is_refused_by_its_name(made: OnFile, data: st.DataObject) -> None:
    """A field that is gone, is not known, or holds another kind of thing is named, no traceback."""
    written = evaluation_data(made)
    holders = [one for one in _objects(written) if one is not written]
    held = data.draw(st.sampled_from(range(len(holders))))
    changed = copy.deepcopy(written)
    holder = [one for one in _objects(changed) if one is not changed][held]
    key = data.draw(st.sampled_from(sorted(holder)))
    match data.draw(st.sampled_from(["gone", "new", "kind"])):
        case "gone":
            del holder[key]
        case "new":
            holder["odd"] = "1"
        case _:
            holder[key] = {"odd": [0.5]}
    with pytest.raises(DataRefused) as refused:
        evaluation_from_data(changed)

    assert refused.value.sentence().startswith("evaluation")


@pytest.mark.parametrize("number", ["1.50", "1e3", " 1.0", "１.0", "1_0.0", "0x1", "", "1"])
def test_a_number_has_one_spelling(number: str) -> None:
    """A second spelling of a number would have another hash: it is refused."""
    data = data_of(Zone("beam", 1.5, None, None, "")) | {"beyond_uncontrolled_m": number}
    with pytest.raises(DataRefused, match="as this program writes it"):
        read_as(Zone, data, "zone")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"format": "shopping list"}, "no stored evaluation"),
        ({"version": 2}, "version 2"),
        ({"version": True}, "version True"),
    ],
)
def test_another_form_is_refused(made: OnFile, change: dict[str, Any], says: str) -> None:
    """A document of another kind, or of a version that is not known here, is not guessed at."""
    with pytest.raises(DataRefused, match=says):
        evaluation_from_data(evaluation_data(made) | change)


def test_a_changed_answer_is_another_object(made: OnFile) -> None:
    """Equality after reading is worth something: a zone a millimetre wider is not equal."""
    written = evaluation_data(made)
    zone = made.evaluation.zones[0]
    wider = replace(zone, beyond_uncontrolled_m=(zone.beyond_uncontrolled_m or 0.0) + 0.001)
    written["evaluation"]["zones"][0] = data_of(wider)

    assert evaluation_from_data(written) != made


def _objects(data: Any) -> Iterator[dict[str, Any]]:
    if isinstance(data, dict):
        yield data
        for item in data.values():
            yield from _objects(item)
    elif isinstance(data, list):
        for item in data:
            yield from _objects(item)
