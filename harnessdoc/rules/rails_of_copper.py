"""Which copper is ground and which a feed, by what is on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..model.harness import Kind

if TYPE_CHECKING:
    from .subject import Subject

_GROUNDS = ("ground-power", "ground-signal", "ground-case", "ground-battery")
"""A sensor's ground is none: it is tied to ground inside one device only."""
_FEEDS = ("feed-constant", "feed-switched", "feed-run", "feed-accessory", "feed-start", "feed-relay", "feed-lighting",
          "source-battery", "source-alternator", "source-constant", "source-switched")
_PROTECTS = ("fuse", "fusible link")


def grounded(subject: Subject) -> frozenset[int]:
    """Islands with a ground, a case on metal, the minus of a battery, or a contact that is a ground by its signal."""
    harness, island_of = subject.harness, subject.network.island_of
    found = {island_of[address] for address, contact in harness.contacts.items()
             if contact.kind is Kind.GROUND or contact.signal in _GROUNDS or (contact.inside is not None and contact.inside.metal)}
    return frozenset(found | _poles(subject, 1))


def fed(subject: Subject) -> frozenset[int]:
    """Islands with a terminal of a fuse or link, the plus of a supply, or a contact that is a supply by its signal."""
    harness, island_of = subject.harness, subject.network.island_of
    found = {island_of[address] for address, contact in harness.contacts.items()
             if contact.signal in _FEEDS or (contact.owner in harness.parts and harness.parts[contact.owner].kind in _PROTECTS)}
    return frozenset(found | _poles(subject, 0))


def _poles(subject: Subject, pole: int) -> set[int]:
    """The islands of the plus (0) or the minus (1) of each supply."""
    devices, island_of = subject.harness.devices, subject.network.island_of
    return {island_of[between[pole]] for id in subject.harness.supplies if (between := devices[id].between) and between[pole] in island_of}
