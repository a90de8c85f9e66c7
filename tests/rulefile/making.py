"""A small rule file with every kind of step, and the shipped book that it refers to."""

from __future__ import annotations

from functools import cache

import pytest

from checklist.calculations import CALCULATIONS
from checklist.rulebook import Book, load_book
from checklist.rulefile import RuleFile, RuleFileRefused, load_rule_file
from checklist.shipped import shipped_rules

SMALL = """\
format: 1
name: mast-base
title: Raising a mast on a club field
edition: 2026-11-25
written-for: US rules
about: Walk it before the mast goes up.
valid: 8 h
signers: {in charge: 1, helper: 1}
parts:
  - part: beforehand
    title: Papers
    valid: 7 d
    steps:
      - id: crew
        ask: Who is here?
        people: {roles: {in charge: 1, worker: 1}, different: 2, trained: [worker]}
        clear:
          - do: Find who is missing.
            evidence: [Who was found]
        why: One alone cannot call.
        sources: [practice]
      - id: way
        ask: How is it raised?
        choice: {hand: By hand, winch: With a winch, car: With a car}
        stop: [car]
        clear: none
        why: A car pulls harder than anyone can feel.
        sources: [practice]
      - id: marked
        ask: Is every buried line marked?
        confirm: {no: stop}
        clear:
          - do: Have the lines marked.
            evidence: [Ticket number, Date of marking]
        guards-life: yes
        why: A stake can go through a gas pipe.
        sources: [dig-811]
      - id: height
        ask: How tall is the mast?
        reading: {of: length, example: 30 ft}
        clear:
          - do: Measure it.
            evidence: [Who measured]
        why: A mast reaches as far as it is tall.
        sources: [practice]
  - part: on the spot
    title: At the foot
    valid: 8 h
    steps:
      - id: tags
        ask: Lock and tag the rotator.
        tag: {each: the rotator}
        clear:
          - do: Hang the lock.
            evidence: [Where it hangs]
        does-not-apply: yes
        why: Nobody below can stop a motor.
        sources: [practice]
      - id: gust
        ask: What is the strongest gust?
        reading: {of: speed, example: 8 mph, with: anemometer}
        stop: {above: site/gust-stop}
        caution: {above: site/gust-caution}
        clear:
          - do: Wait for calmer air.
            evidence: [How long it was watched]
        life: 30 min
        why: A gust swings the mast.
        sources: [practice]
      - id: winch-held
        ask: Is the winch anchored?
        when: {fact: way, is: winch}
        confirm: {no: stop}
        clear:
          - do: Anchor it.
            evidence: [How it is anchored]
        why: A loose winch comes to the load.
        sources: [practice]
      - id: lines
        ask: Is the nearest line far enough off?
        calculation: {name: power-line-distance, inputs: {mast-height: height}}
        clear:
          - do: Move the work.
            evidence: [What was moved]
          - do: Have the utility switch off and ground the line.
            evidence: [Order number, Where the grounds are seen]
            answer-stands: yes
        guards-life: yes
        why: A mast that touches a line kills who holds it.
        sources: [osha-1926-1408]
      - id: call
        ask: What is the address here?
        text: {example: "Ridge Hollow Road 14"}
        unknown: caution
        why: In the first minute nobody remembers it.
        sources: [practice]
examples:
  - name: in order
    answers:
      crew: ["Wren Holloway, in charge", "Tamsin Oakes, worker, trained 2026-04-11"]
      way: hand
      marked: yes
      height: 30 ft
      tags: ["breaker 14, lock 5, Tamsin Oakes"]
      gust: 8 mph
      lines:
        above-top: 10 ft
        sideways-reach: 0 ft
        line-voltage: 7.2 kV
        ground-distance: 100 ft
      call: Ridge Hollow Road 14
    verdict: no stop found
  - name: too windy
    same-as: in order
    answers: {gust: 21 mph}
    verdict: stopped
    stops: [gust]
"""


@cache
def shipped_texts() -> dict[str, str]:
    """Return `sources.yaml` and every shipped table, by name."""
    folder = shipped_rules()
    tables = sorted((folder / "tables").glob("*.yaml"))
    texts = {f"tables/{path.name}": path.read_text(encoding="utf-8") for path in tables}
    return {"sources.yaml": (folder / "sources.yaml").read_text(encoding="utf-8"), **texts}


@cache
def book() -> Book:
    """Return the shipped book of values."""
    return load_book(shipped_texts())


def loaded(text: str = SMALL, name: str = "mast-base.yaml") -> RuleFile:
    """Return the rule file in `text`, loaded against the shipped book."""
    return load_rule_file(text, name, book(), CALCULATIONS)


@cache
def small() -> RuleFile:
    """Return the small rule file above."""
    return loaded()


def errors_of(text: str) -> list[str]:
    """Return every sentence with which `text` is refused; fails where it is not."""
    with pytest.raises(RuleFileRefused) as refused:
        loaded(text)
    return refused.value.errors


def changed(*pairs: tuple[str, str]) -> str:
    """Return the small rule file with each text replaced, which must stand there just once."""
    text = SMALL
    for old, new in pairs:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    return text
