"""The evaluation of RF exposure that is kept on file, as a page: everything that it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from checklist.calculations.exposure.evaluate import Evaluation, PlaceResult
from checklist.calculations.exposure.onfile import OnFile
from checklist.calculations.exposure.saying import percent
from checklist.pages.emitted import antenna_rows, emission_rows
from checklist.pages.page import (
    Block,
    Drawn,
    Grid,
    Heading,
    Identity,
    Labelled,
    Listed,
    Page,
    Words,
    WriteOn,
)
from checklist.rulebook import bare
from checklist.sessions.stations.exposuretext import WORDS, places_lines, remedy_lines

IS_NOT = (
    "This page is no licence, no permission to transmit and no measurement: it is worked out from "
    "what was described."
)
DRAFT = "DRAFT, not on record: nobody has signed it, and nothing keeps the station as it was."


def evaluation_page(
    kept: OnFile,
    identity: Identity,
    pictures: Sequence[Drawn],
    signed: Sequence[Block] = (),
    standing: Sequence[str] = (DRAFT,),
) -> Page:
    """Return the page of an evaluation; `signed` is what a session adds: who signed, how to check.

    Without that the page is a draft, and has lines for the remedies that were taken. `standing`
    is said before everything else but the outcome: a draft, stale, damaged, corrected.
    """
    found = kept.evaluation
    blocks: list[Block] = [
        Words(WORDS[found.outcome], "strong"),
        Words(found.says),
        *(Words(said, "strong") for said in standing),
        Labelled(tuple(_head(kept))),
        *_listed("Stops", found.stops),
        *_listed("Cautions", found.cautions),
        *_results(found),
        *_described(found),
        *_details(found),
        *_zones(found),
        *_remedies(kept, is_draft=not signed),
        *_pictures(pictures),
        *_basis(kept),
        *(signed or _unsigned()),
    ]
    title = f"RF exposure around {kept.station}"
    return Page(title, "Evaluation to be kept on file", identity, IS_NOT, tuple(blocks))


def unsaved(file: str, steps: Sequence[str]) -> tuple[str, ...]:
    """Return what stands first on the page of a variant: that it is none of the file's, and how."""
    done = "; then ".join(steps) or "nothing"
    return (
        DRAFT,
        f"A VARIANT, SAVED IN NO FILE. It is the station of {file} with this changed: {done}. The "
        "SHA-256 at the foot is of that file, which does not hold the change.",
    )


def _head(kept: OnFile) -> Iterator[tuple[str, str]]:
    found = kept.evaluation
    limits = found.limits
    yield "Station", kept.station
    yield "Limits", f"{limits.name}: {limits.title}"
    yield "Edition", limits.citation()
    yield "Standing", f"{limits.standing.value}; {limits.jurisdiction}"
    if limits.is_clubs:
        yield "Whose", "the club's own set, in the place of none that is shipped"
    yield "Engine", f"version {found.version}"
    if limits.about:
        yield "About them", limits.about


def _listed(heading: str, entries: Sequence[str]) -> Iterator[Block]:
    if entries:
        yield Heading(heading, 2)
        yield Listed(tuple(entries))


def _results(found: Evaluation) -> Iterator[Block]:
    yield Heading("Results at each place", 2)
    if not found.places:
        yield Words("No place where people can be was given.")
        return
    rows = tuple(_result(result) for result in found.places)
    head = ("place", "judged as", "share of the limit", "came to", "decided by")
    yield Grid(head, rows, (4, 3, 3, 3, 5))


def _result(result: PlaceResult) -> tuple[str, ...]:
    fraction, deciding = result.total.fraction, result.total.deciding
    share = "not shown" if fraction is None else percent(fraction)
    by = f"{deciding.emission}: {deciding.method}" if deciding else "nothing is shown"
    return result.place.name, str(result.tier), share, str(result.outcome).upper(), by


def _described(found: Evaluation) -> Iterator[Block]:
    scene = found.scene
    yield Heading("What was described", 2)
    yield Words(f"Ground: {scene.ground.value}. Positions in metres east and north of the origin.")
    yield Grid(
        ("emission", "frequency", "power", "mode and time on the air", "feed line", "antenna"),
        tuple(emission_rows(scene.emissions)),
        (4, 3, 4, 5, 4, 3),
    )
    yield Grid(("antenna", "kind", "where"), tuple(antenna_rows(scene.emissions)), (3, 5, 6))
    places = tuple(
        (
            p.name,
            f"{p.x_m:g} m east, {p.y_m:g} m north",
            f"{p.low_m:g} to {p.high_m:g} m up",
            _who(p.controlled, p.training),
            {True: "yes", False: "no", None: "not known"}[p.conductors_in_reach],
        )
        for p in scene.places
    )
    head = ("place", "where", "body", "controlled", "bare conductors in reach")
    yield Grid(head, places, (3, 4, 3, 5, 3))


def _who(controlled: bool, training: str) -> str:
    if not controlled:
        return "no: anybody"
    return f"yes: {training}" if training else "yes, training not stated"


def _details(found: Evaluation) -> Iterator[Block]:
    yield Heading("How each result came about", 2)
    entries: list[str] = []
    for line in [*places_lines(found), ""]:
        if line:
            entries.append(line.strip())
        elif entries:
            first, *rest = entries
            yield Words(first)
            yield Listed(tuple(rest), weight="small")
            entries = []


def _zones(found: Evaluation) -> Iterator[Block]:
    yield Heading("Zones", 2)
    yield Words("From the nearest part of each antenna, everything on without a pause.")
    yield Listed(
        tuple(
            f"{z.antenna}: {z.says}" + (f" ({z.not_shown})" if z.not_shown else "")
            for z in found.zones
        )
        or ("There is no antenna.",)
    )
    rows = tuple((str(c.number), c.region, c.sign, c.control) for c in found.categories)
    yield Words("What each category asks for (47 CFR 1.1307(b)(4))", "small")
    yield Grid(("", "region", "sign", "control"), rows, (1, 4, 4, 6))
    yield Words(found.sign_content, "small")


def _remedies(kept: OnFile, *, is_draft: bool) -> Iterator[Block]:
    yield Heading("Remedies", 2)
    yield Listed(tuple(line.strip() for line in remedy_lines(kept.remedies) if line.strip()))
    if is_draft:
        yield WriteOn("Remedies taken, and when:", lines=2)


def _pictures(pictures: Sequence[Drawn]) -> Iterator[Block]:
    if pictures:
        yield Heading("Plots and map")
        yield from pictures


def _basis(kept: OnFile) -> Iterator[Block]:
    found = kept.evaluation
    yield Heading("What it rests on")
    if found.exemption:
        shares = tuple(f"{s.name}: {s.says}" for s in found.exemption.shares)
        yield from _listed(
            "Exemption from routine evaluation, 47 CFR 1.1307(b)(3)",
            (found.exemption.says, *shares),
        )
    yield from _listed("Assumed", kept.all_assumptions)
    yield from _listed("Not modelled", found.not_modelled)
    yield Heading("Values used", 2)
    rows = tuple(
        (bare(c.value), c.means, c.citation + (f"; {c.club_note}" if c.replaced else ""))
        for c in found.used
    )
    yield Grid(("value", "what it is", "from"), rows, (2, 5, 6))


def _unsigned() -> Iterator[Block]:
    yield Heading("Signatures and how to check them", 2)
    yield Words(
        "None: this is a draft. To keep it with signatures walk the rule file exposure-review; it "
        "keeps the station file, the limits and this evaluation by their hashes. Then print the "
        "page of that session. This sheet is held against its station file by the code at the foot:"
    )
    yield Listed(("sha256sum STATION-FILE gives the SHA-256 at the foot.",), weight="small")
