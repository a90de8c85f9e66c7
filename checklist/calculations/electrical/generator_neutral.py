"""Whether a generator's neutral and frame are bonded as its connection asks."""

from __future__ import annotations

from checklist.calculations.judging import Judgement
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book

_INPUTS = (
    Input(
        "connection",
        "how the loads are connected",
        example="cords",
        choices={
            "cords": "cords from the set's own receptacles alone",
            "neutral-switched": "a panel, through transfer equipment that switches the neutral",
            "neutral-solid": "a panel, through transfer equipment that leaves the neutral joined",
            "wall-outlet": "a cord into a wall outlet",
        },
    ),
    Input(
        "neutral",
        "the neutral inside the set, by its plate or its maker",
        example="bonded",
        choices={"bonded": "joined to the frame", "floating": "not joined to the frame"},
    ),
    Input(
        "frame",
        "whether metal parts and ground terminals of the receptacles are joined to the frame",
        example="bonded",
        choices={"bonded": "joined to the frame", "not-bonded": "not joined"},
    ),
)

_RULES = {
    ("neutral-switched", "bonded"): (
        True,
        "a separate source: bonded at the set, with a grounding electrode by 250.30",
    ),
    ("neutral-solid", "floating"): (
        True,
        "no separate source: the one bond is at the service (250.30)",
    ),
    ("neutral-solid", "bonded"): (False, "two bonds: current of the neutral flows on the grounds"),
    ("neutral-switched", "floating"): (False, "no bond at all: a fault opens no breaker"),
}


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    connection, neutral = inputs.word("connection"), inputs.word("neutral")
    for name, known in (
        ("how the loads are connected", connection),
        ("the neutral of the set", neutral),
        ("whether the frame is bonded", inputs.word("frame")),
    ):
        if not known:
            judgement.unknown(name)
    if connection == "wall-outlet":
        judgement.over(
            "A cord into a wall outlet feeds back into the lines: it kills people there and here "
            f"({book.source('nec-702-5').title}).",
            "connection",
        )
    if inputs.word("frame") == "not-bonded":
        judgement.over(
            "The frame is not bonded: the exemption from a grounding electrode does not hold, and "
            "a fault to the frame opens no breaker.",
            "frame",
        )
    if connection == "cords" and neutral and inputs.word("frame") == "bonded":
        judgement.met(
            "Cords alone: no ground rod is required, the frame takes its place (250.34).",
            "connection",
        )
    _rule(judgement, connection, neutral)
    return judgement.result()


def _rule(judgement: Judgement, connection: str, neutral: str) -> None:
    rule = _RULES.get((connection, neutral))
    if rule is None:
        return
    permitted, words = rule
    said = f"Neutral {neutral} in the set, {connection.replace('-', ' ')}: {words}."
    if permitted:
        judgement.met(said, "neutral")
        judgement.caution("Transfer equipment is the work of a licensed electrician.")
    else:
        judgement.over(said, "neutral")


GENERATOR_NEUTRAL = Calculation(
    name="generator-neutral",
    title="Neutral and frame of a generator",
    version=1,
    inputs=_INPUTS,
    formula="one bond between neutral and ground: at the set if the transfer equipment switches "
    "the neutral, at the service if it does not",
    sources=("nec-250-34", "nec-250-30", "nec-702-5", "osha-1926-404"),
    assumptions=(
        "A portable set; one mounted on a vehicle has its frame bonded to the vehicle as well.",
        "The maker's instructions and the local authority may ask for more, a rod among it.",
    ),
    compute=_compute,
)
