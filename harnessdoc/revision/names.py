"""The names of one version as the new version has them.

A name of something that the other version does not have leads to a `Gone`, which
equals no name: an id may have been given to something else since.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ..model.harness import OPEN, UNKNOWN, Harness
from .changes import Thing
from .pairing import OWNERS, Pairing, things_of


class Gone(str):
    """The name of something the other version does not have; equal to itself alone."""

    __slots__ = ()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Gone) and str.__eq__(self, other)

    def __ne__(self, other: object) -> bool:   # text has one of its own
        return not self == other

    def __hash__(self) -> int:
        return hash(("gone", str(self)))


@dataclass(frozen=True, slots=True)
class Names:
    """Looks names of a harness up; words that name nothing in it stay as they are.

    of_thing, of_owner: the new id of a name, None where it has none
    owners: the ids of all that begins an address
    """

    harness: Harness
    of_thing: Callable[[Thing, str], str | None]
    of_owner: Callable[[str], str | None]
    owners: frozenset[str]

    def of(self, thing: Thing, name: str) -> str:
        """The new id of a circuit, pair, cable, segment or point."""
        now = self.of_thing(thing, name)
        return now if now is not None else self._left(name, name in things_of(self.harness)[thing])

    def segment_or_point(self, name: str) -> str:
        """The new id of what a wire goes through."""
        return self.of(Thing.SEGMENT if name in self.harness.segments else Thing.POINT, name)

    def owner(self, name: str) -> str:
        """The new id of whatever begins an address."""
        now = self.of_owner(name)
        return now if now is not None else self._left(name, name in self.owners)

    def address(self, address: str) -> str:
        """The new address; UNKNOWN and OPEN are what they are."""
        if address in (UNKNOWN, OPEN):
            return address
        if address in self.owners:
            return self.owner(address)
        owner, dot, name = address.rpartition(".")
        if not dot or owner not in self.owners:
            return address
        now = self.of_owner(owner)
        return Gone(address) if now is None else f"{now}.{name}"

    def named(self, name: str) -> str:
        """The new name of what a waiver names (``wire 12``, ``F3``, ``E1.13``); what is gone keeps its name, for a waiver may name what is not there."""
        thing, id = _kind_of(name)
        now = self.address(name) if thing is None else self.of(thing, id)
        return name if isinstance(now, Gone) else now if thing is None else f"{thing.value} {now}"

    @staticmethod
    def _left(name: str, known: bool) -> str:
        return Gone(name) if known else name


_NAMED_BY_KIND = {thing.value: thing for thing in (Thing.WIRE, Thing.CABLE, Thing.PAIR, Thing.CIRCUIT, Thing.SEGMENT, Thing.POINT)}


def name_now(pairing: Pairing, name: str) -> str | None:
    """What a finding or waiver of the old version names (``wire 12``, ``F3``, ``E1.13``), as the new version has it; None where it is gone."""
    thing, id = _kind_of(name)
    if thing is None:
        return pairing.address_now(name)
    now = pairing.now(thing, id)
    return None if now is None else f"{thing.value} {now}"


def _kind_of(name: str) -> tuple[Thing | None, str]:
    """``wire 12`` as the thing and its id; None before what begins an address, or is one."""
    kind, _, id = name.partition(" ")
    return (_NAMED_BY_KIND[kind], id) if kind in _NAMED_BY_KIND and id else (None, name)


def names_of_old(old: Harness, pairing: Pairing) -> Names:
    """The old version's names led into the new one's; what is gone is `Gone`."""
    return Names(old, pairing.now, pairing.owner_now.get, _owners(old))


def names_of_new(new: Harness, pairing: Pairing) -> Names:
    """The new version's names as they are; what the old one did not have is `Gone`."""
    return Names(new, lambda thing, name: name if name in pairing.before_of[thing] else None,
                 lambda owner: owner if owner in pairing.owner_before else None, _owners(new))


def _owners(harness: Harness) -> frozenset[str]:
    things = things_of(harness)
    return frozenset(name for thing in OWNERS for name in things[thing])
