"""Variants as they are written on the command line: values and remedies, one on top of another."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable

from checklist.calculations.exposure import Remedies
from checklist.plaintext import shown
from checklist.sessions.stations.exposing import Exposed
from checklist.sessions.variants.remedies import step_of
from checklist.sessions.variants.values import values_of
from checklist.sessions.variants.variant import Source, Variant, VariantRefused, with_step

EVERY_REMEDY = "remedies"
"""What stands for one variant of each remedy that is found."""

ON_TOP = " + "
_REMEDY = re.compile(r"(?P<place>[a-z0-9-]+):\s*(?P<kind>\S.*)")
_WRITTEN = "Write NAME WORD VALUE, as 'beacon power 10 W', or PLACE: REMEDY, as 'path: less power'."

Evaluated = Callable[[Variant], Exposed]
Sought = Callable[[Variant], tuple[Remedies, ...]]


def variants_of(
    source: Source, texts: list[str], evaluated: Evaluated, sought: Sought
) -> list[Variant]:
    """Return the variants that the texts describe, numbered in their order.

    `evaluated` and `sought` find the evaluation of a variant and the remedies on top of it.
    Raises VariantRefused in one sentence for a text that describes none.
    """
    made: list[Variant] = []
    for text in texts:
        if text.strip() == EVERY_REMEDY:
            base = source.origin
            steps = [step_of(base, r, one) for r in sought(base) for one in r.found]
            made += [
                with_step(source, base, step, f"variant {len(made) + i}")
                for i, step in enumerate(steps, start=1)
            ]
            continue
        variant = source.origin
        for part in text.split(ON_TOP):
            variant = _onward(
                source, variant, part.strip(), f"variant {len(made) + 1}", evaluated, sought
            )
        made.append(variant)
    return made


def _onward(
    source: Source,
    variant: Variant,
    part: str,
    name: str,
    evaluated: Evaluated,
    sought: Sought,
) -> Variant:
    remedy = _REMEDY.fullmatch(part)
    if remedy is not None:
        return _remedied(source, variant, remedy["place"], remedy["kind"], name, sought)
    words = part.split(maxsplit=2)
    if len(words) < 3:
        raise VariantRefused(
            f"“{shown(part[:60])}” is no change of the station",
            where="--variant",
            right=_WRITTEN,
        )
    of, word, text = words
    deciding = {}
    if word == "distance":
        deciding = {
            result.place.name: result.total.deciding.antenna
            for result in evaluated(variant).evaluation.places
            if result.total.deciding
        }
    values = values_of(variant, deciding)
    value = next((v for v in values if (v.of, v.word) == (of, word)), None)
    if value is None:
        raise VariantRefused(
            f"there is no “{shown(f'{of} {word}'[:60])}” to be changed",
            where="--variant",
            right=_instead(f"{of} {word}", [f"{v.of} {v.word}" for v in values]),
        )
    return with_step(source, variant, value.taken(text), name, value.where)


def _remedied(
    source: Source, variant: Variant, place: str, kind: str, name: str, sought: Sought
) -> Variant:
    found = next((one for one in sought(variant) if one.place == place), None)
    if found is None:
        raise VariantRefused(
            f"no remedy was sought for “{shown(place[:40])}”",
            where="--variant",
            right="They are sought for places that are over, near the limit, or not shown.",
        )
    remedy = next((one for one in found.found if one.kind == kind.strip()), None)
    if remedy is None:
        kinds = [one.kind for one in found.found]
        there = f"There are: {', '.join(kinds)}." if kinds else "None was found alone enough."
        raise VariantRefused(
            f"“{shown(kind[:40])}” is no remedy found for {place}", where="--variant", right=there
        )
    return with_step(source, variant, step_of(variant, found, remedy), name)


def _instead(text: str, known: list[str]) -> str:
    near = difflib.get_close_matches(text, known, n=1)
    if near:
        return f"Did you mean “{near[0]}”?"
    return f"There are: {', '.join(known[:12])}{' and others' if len(known) > 12 else ''}."
