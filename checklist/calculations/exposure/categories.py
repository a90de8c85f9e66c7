"""The mitigation categories of 47 CFR 1.1307(b)(4): sign and control around a fixed antenna."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Category:
    """One region of exposure, and what the rule asks for at its boundary."""

    number: int
    region: str
    sign: str
    control: str


CATEGORIES = (
    Category(
        1,
        "no more than the uncontrolled limit",
        "none needed; a green INFORMATION sign may stand",
        "none",
    ),
    Category(
        2,
        "above the uncontrolled limit, no more than the controlled one",
        "blue NOTICE",
        "positive access control; training for those who enter; transients supervised, "
        "with time averaging",
    ),
    Category(
        3,
        "above the controlled limit, no more than ten times that",
        "yellow CAUTION",
        "as category 2, with controls or indicators at the boundary; six-minute averaging or "
        "protective clothing, else reduced power or lockout and tagout (29 CFR 1910.147)",
    ),
    Category(
        4,
        "above ten times the controlled limit, or serious injury on contact",
        "orange WARNING; red DANGER where contact injures at once",
        "nobody enters until the category is lowered: transmitter off and locked",
    ),
)
"""In rising order. Source: 47 CFR 1.1307(b)(4), `fcc-1307-mitigation`."""

SIGN_CONTENT = (
    "A sign shows its signal word and colour, the radio-frequency symbol, what the source is, "
    "what to do, and whom to call, readable at the boundary (29 CFR 1910.145)."
)


def category(uncontrolled: float, controlled: float, severe: float) -> Category:
    """Return the category for fractions of the two limits, continuous exposure; equal is within.

    `severe` is the multiple of the controlled limit where category 4 begins.
    """
    if uncontrolled <= 1:
        return CATEGORIES[0]
    if controlled <= 1:
        return CATEGORIES[1]
    return CATEGORIES[2] if controlled <= severe else CATEGORIES[3]
