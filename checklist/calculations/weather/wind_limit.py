"""Whether the wind is over what any rule, maker or club allows for the work."""

from __future__ import annotations

from checklist.calculations.judging import Judgement, given
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input("gust", "the strongest gust at working height", "speed", "12 mph", least="0 mph",
          most="250 mph"),
    Input("work", "what is done", example="climbing",
          choices={
              "climbing": "people climb or work aloft",
              "material": "material is lifted or handled aloft",
              "personnel-hoist": "people are hoisted",
          }),
    Input("own-limit", "the lower limit of the maker or the club", "speed", "15 mph",
          optional=True, most="250 mph"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    gust, work = inputs.quantity("gust"), inputs.word("work")
    own = inputs.quantity("own-limit")
    if gust is None:
        judgement.unknown("the gust at working height")
    if not work:
        judgement.unknown("what is done")
    if gust is None:
        return judgement.result()
    judgement.at_most("gust", gust, judgement.value(book.value("site/gust-stop")), "practice")
    if own is not None:
        judgement.at_most("gust", gust, own, "the maker's or the club's limit")
    _osha(judgement, gust, work, book)
    think = judgement.value(book.value("site/gust-caution"))
    if judgement.is_beyond("gust", gust, think, "to be thought over from"):
        judgement.caution(f"The gust {given(gust)} is over {given(think)}: think it over again.")
    return judgement.result()


def _osha(judgement: Judgement, gust: Quantity, work: str, book: Book) -> None:
    """Name the federal figures: they may stop, and are higher than what is sensible aloft."""
    name = "high-wind" if work == "climbing" else "high-wind-material"
    limit = judgement.value(book.value(f"weather/{name}"))
    judgement.at_most("wind", gust, limit, "OSHA's high wind; no permission below it")
    if work == "personnel-hoist":
        hoist = judgement.value(book.value("weather/personnel-hoist"))
        if judgement.is_beyond("gust", gust, hoist, "hoisting of people at most"):
            judgement.unknown(
                "whether people may be hoisted",
                f"is for a qualified person to decide above {given(hoist)}",
            )


WIND_LIMIT = Calculation(
    name="wind-limit",
    title="Wind and the work aloft",
    version=1,
    inputs=_INPUTS,
    formula="gust at most 20 mph by practice, the maker's or club's lower limit, and OSHA's high "
    "wind (40 mph, 30 mph with material)",
    sources=("practice", "osha-high-wind", "osha-1926-1431"),
    assumptions=(
        "Gusts at working height; on the ground it blows less.",
        "There is no federal limit for climbing: the practice figure is the stricter one.",
    ),
    compute=_compute,
)
