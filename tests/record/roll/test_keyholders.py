"""What all versions of a roster say to a signature, made once, is what each of them says."""

from __future__ import annotations

import pickle
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from checklist.record.roll.keyholders import key_holders
from checklist.record.roll.people import KeyTerm, Member, Version
from checklist.record.roll.rostertext import from_text, to_text
from checklist.record.verifying.report import Outcome

BEGIN = datetime(2026, 1, 1, tzinfo=UTC)
KEYS = tuple(f"{number:02x}" * 32 for number in range(0x10, 0x20))
OFFICER = Member("Vera Holm", ("safety officer",), keys=(KeyTerm(KEYS[0], BEGIN),))
Roles = tuple[str, ...]


def day(number: int) -> datetime:
    return BEGIN + timedelta(days=number)


def version(number: int, at: int, *members: Member) -> Version:
    return Version(
        number, "ab" * 32, day(at), "standclear 1", KEYS[0], OFFICER.name, (OFFICER, *members)
    )


def member(place: int, roles: Roles) -> Member:
    return Member(f"Person {place}", roles, keys=(KeyTerm(KEYS[place], BEGIN),))


def by_the_day(versions: list[Version], public: str, moment: datetime) -> Roles:
    """Return the roles by the version in force on a day, or the first after, one by one."""
    roles: Roles | None = None
    for one in versions:
        holder = one.holder(public)
        if holder is None:
            continue
        if roles is not None and one.at > moment:
            break
        roles = holder.roles
    return roles or ()


SOME_ROLES = st.lists(st.sampled_from(("worker", "helper", "in charge")), unique=True).map(tuple)
HISTORIES = st.lists(
    st.tuples(st.integers(0, 9), st.dictionaries(st.integers(1, 3), SOME_ROLES)), min_size=1
)


@settings(deadline=None)  # other programs may have the processor meanwhile
@given(history=HISTORIES, asked=st.integers(-1, 10))
def test_roles_on_a_day(history: list[tuple[int, dict[int, Roles]]], asked: int) -> None:
    """For any history, also one whose clock ran back, the roles are those of that day."""
    versions = [
        version(number, at, *(member(place, roles) for place, roles in people.items()))
        for number, (at, people) in enumerate(history, start=1)
    ]
    found = key_holders(versions).terms

    assert {key: terms.at(day(asked)) for key, terms in found.items()} == {
        key: by_the_day(versions, key, day(asked))
        for key in KEYS
        if any(one.holder(key) for one in versions)
    }


def test_who_holds_a_key_is_said_by_the_version_in_force() -> None:
    """Somebody who stood in an earlier version alone vouches for nothing any more."""
    versions = [version(1, 0, member(1, ("worker",))), version(2, 1, member(2, ("worker",)))]
    found = key_holders(versions)
    said = [
        found.identity(KEYS[place], f"Person {place}", "worker", day(2)).outcome for place in (1, 2)
    ]

    assert said == [Outcome.FAILS, Outcome.HOLDS]


def test_many_versions_take_no_more_room_than_the_people_in_them() -> None:
    """Five hundred versions in which nobody's roles change go to a process as one would."""
    people = [member(place, ("worker",)) for place in range(1, 9)]
    one, many = (
        len(pickle.dumps(key_holders([version(number, number, *people)
                                      for number in range(1, count + 1)])))
        for count in (1, 500)
    )  # fmt: skip

    assert many <= one + 8


def test_a_person_is_kept_once_however_many_versions_name_them() -> None:
    """People who stay the same are one object in all versions read, so memory stays theirs."""
    texts = [to_text(version(number, number, member(1, ("worker",)))) for number in (1, 2)]
    first, second = map(from_text, texts)

    assert all(a is b for a, b in zip(first.members, second.members, strict=True))
