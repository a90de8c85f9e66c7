"""Whether a test instrument may be put on a circuit, by its category, voltage and impulse."""

from __future__ import annotations

from checklist.calculations.judging import Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_RANK = {"II": 2, "III": 3, "IV": 4}
_NEEDS = {"plugged-in": "II", "fixed-wiring": "III", "service": "IV"}
_HIGH = "inside-high-voltage"

_INPUTS = (
    Input(
        "circuit",
        "what is measured",
        example="fixed-wiring",
        choices={
            "plugged-in": "equipment that is plugged into an outlet",
            "fixed-wiring": "outlets, panels and fixed wiring",
            "service": "the service, the meter, the generator's output, outdoor lines",
            _HIGH: "the inside of equipment above 1000 V, such as an amplifier",
        },
    ),
    Input(
        "circuit-voltage",
        "the highest voltage that can be there, to ground or between the leads",
        "voltage",
        "240 V",
        most="1000 kV",
    ),
    Input(
        "meter-category",
        "the category printed beside the terminals, the lower of meter and leads",
        example="III",
        choices={rank: f"CAT {rank}" for rank in _RANK} | {"none": "none is printed"},
    ),
    Input(
        "meter-voltage",
        "the voltage printed beside that category",
        "voltage",
        "600 V",
        most="10 kV",
    ),
    Input(
        "probe-rating",
        "the rating of a high-voltage probe, where one is used",
        "voltage",
        "15 kV",
        optional=True,
        most="1000 kV",
    ),
)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    circuit, voltage = inputs.word("circuit"), inputs.quantity("circuit-voltage")
    if not circuit:
        judgement.unknown("what is measured")
    if voltage is None:
        judgement.unknown("the voltage of the circuit")
    above_table = voltage is not None and _last(book) < voltage
    if circuit == _HIGH or above_table:
        _probe(judgement, inputs, voltage)
        return judgement.result()
    category, rated = inputs.word("meter-category"), inputs.quantity("meter-voltage")
    if not category:
        judgement.unknown("the category of the meter")
    if rated is None:
        judgement.unknown("the voltage printed on the meter")
    if rated is not None and voltage is not None:
        judgement.at_least("voltage of the meter", rated, voltage, "the voltage of the circuit")
    _category(judgement, _NEEDS.get(circuit, ""), category)
    if circuit and category in _RANK and rated is not None and voltage is not None:
        _impulse(judgement, (_NEEDS[circuit], voltage), (category, rated), book)
    return judgement.result()


def _last(book: Book) -> Quantity:
    key = list(book.table("meters/impulse").rows)[-1]
    number, _, unit = key.partition(" ")
    return Quantity.of(number, unit)


def _category(judgement: Judgement, needed: str, category: str) -> None:
    if not needed or not category:
        return
    if _RANK.get(category, 0) < _RANK[needed]:
        has = f"CAT {category}" if category in _RANK else "no category"
        judgement.over(f"The meter has {has}, and CAT {needed} is needed there.", "meter-category")
    else:
        judgement.met(f"CAT {category} is at least the CAT {needed} needed there.", "category")


def _impulse(
    judgement: Judgement, need: tuple[str, Quantity], has: tuple[str, Quantity], book: Book
) -> None:
    """Hold the impulse that the meter bears against the one that the circuit can bring."""
    table = book.table("meters/impulse")
    wanted = table.up_to(need[1])
    # A rating between two rows bears only what the row below it prints.
    borne = [row for key, row in table.rows.items() if Quantity.of(*key.split(" ")) <= has[1]]
    if wanted is None or not borne:
        judgement.unknown("the impulse that the meter bears", "has no row in the table here")
        return
    bears, brings = judgement.cell(borne[-1], has[0]), judgement.cell(wanted, need[0])
    judgement.lines.append(
        f"the circuit, CAT {need[0]} at {need[1].text()}, row up to {wanted.key}: {near(brings)}"
    )
    judgement.lines.append(
        f"the meter, CAT {has[0]} at {has[1].text()}, row from {borne[-1].key}: {near(bears)}"
    )
    judgement.output("impulse-needed", "impulse that the circuit can bring", brings)
    judgement.output("impulse-borne", "impulse that the meter bears", bears, "down")
    judgement.at_least("impulse that the meter bears", bears, brings, f"CAT {need[0]} there")


def _probe(judgement: Judgement, inputs: Given, voltage: Quantity | None) -> None:
    """Hold a high-voltage probe against the supply: no category covers it."""
    judgement.caution("No measurement category covers the inside of high-voltage equipment.")
    rating = inputs.quantity("probe-rating")
    if rating is None and "probe-rating" not in inputs.unknown:
        judgement.over(
            "No high-voltage probe is used: a meter by itself is not made for this.", "probe-rating"
        )
    elif rating is None:
        judgement.unknown("the rating of the probe")
    elif voltage is not None and rating == voltage:
        judgement.over(
            f"The probe's {rating.text()} is no more than the {voltage.text()} that can be there.",
            "probe-rating",
        )
    elif voltage is not None:
        judgement.at_least("rating of the probe", rating, voltage, "more than the supply")


METER_CATEGORY = Calculation(
    name="meter-category",
    title="Test instrument against circuit",
    version=1,
    inputs=_INPUTS,
    formula="category, voltage and impulse of the meter are each at least those of the circuit; "
    "above 1000 V a probe rated above the supply",
    sources=("iec-61010-2-030",),
    assumptions=(
        "Meter, leads and fuses are whole and all of the category given; the lowest counts.",
        "600 V CAT III is not 1000 V CAT II: the same impulse comes from 2 ohm and not 12.",
        "Proving the tester before and after is asked elsewhere.",
    ),
    compute=_compute,
)
