"""What hands have to do at the harness, job by job: the vocabulary.

Made by ``revision/work.py`` and ``revision/terminations.py``; taken by the steps, the
proofs and the parts needed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from ..model.harness import Splice, Wire
from .changes import Change

LONGER_MM = 0.5
"""A wire that has to be longer by less than this reaches."""


class Fate(Enum):
    """What becomes of a wire."""

    NEW = "new"
    GONE = "gone"
    REPLACED = "replaced"
    KEPT = "kept"         # the same wire, an end goes elsewhere


@dataclass(frozen=True, slots=True)
class EndJob:
    """One end of a wire: ``was`` in the old version's address, ``now`` in the new one's; None where there is no such wire.

    moves: the end comes out of ``was`` and goes to ``now``
    """

    was: str | None
    now: str | None
    moves: bool


@dataclass(frozen=True, slots=True)
class WireJob:
    """What is done to one wire.

    old, new: None where it is only in the other version
    why:      changes by which it is replaced; () for any other fate, or where it is too short
    was_mm, now_mm: finished lengths, None unknown
    """

    old: Wire | None
    new: Wire | None
    fate: Fate
    ends: tuple[EndJob, ...]
    why: tuple[Change, ...]
    was_mm: float | None
    now_mm: float | None

    @property
    def is_cut(self) -> bool:
        """A new piece of wire is cut for it."""
        return self.fate in (Fate.NEW, Fate.REPLACED)

    @property
    def too_short(self) -> bool:
        """The old wire would not reach."""
        return self.was_mm is not None and self.now_mm is not None and self.now_mm > self.was_mm + LONGER_MM


@dataclass(frozen=True, slots=True)
class SpliceJob:
    """A splice that is opened, made or taken away.

    old, new: None where it is only in the other version
    out:   old ids of the wires that come out
    into:  new ids of the wires that go in
    stay:  new ids of the wires that stay in it
    changes: of the splice itself (method, position...)
    """

    old: Splice | None
    new: Splice | None
    out: tuple[str, ...]
    into: tuple[str, ...]
    stay: tuple[str, ...]
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class ReTermination:
    """Contacts of one owner whose terminal or seal was one and is another, with the wires in them as they are.

    key: "terminal" or "seal"; addresses of the new version
    """

    owner: str
    key: str
    was: str
    now: str
    addresses: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Housing:
    """A connector (new id) of which housing or half was one and is another; words: ``housing was grey, now black``."""

    connector: str
    words: str


@dataclass(frozen=True, slots=True)
class CrimpJob:
    """A cavity or socket of which the terminal holds or held several wires, and is another after the work.

    address: of the new version; was_at: of the old one, None where it is new
    out:   old ids of the wires that come out
    into:  new ids of the wires that go in
    stay:  new ids of the wires that are in it already
    comes_along: the wires that stay are in one terminal with one that comes out
    is_new: a terminal is crimped on; else all of them bring the one they share
    """

    address: str
    was_at: str | None
    out: tuple[str, ...]
    into: tuple[str, ...]
    stay: tuple[str, ...]
    comes_along: bool
    is_new: bool

    @property
    def members(self) -> tuple[str, ...]:
        """All wires in it after the work (new ids)."""
        return (*self.stay, *self.into)


@dataclass(frozen=True, slots=True)
class StudJob:
    """A stud, ground or bar that is undone where others stay, or gets several: closed once, with all that is on it.

    address: of the new version
    into, stay: new ids of the wires that go on, and of those that are on it already
    """

    address: str
    into: tuple[str, ...]
    stay: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Work:
    """All jobs; each in the order of the comparison.

    left_alone: wires of airbag circuits: no job is in the other fields
    kept_off, kept_off_before: every address of the new version, and of the old one, on such a circuit
    """

    wires: tuple[WireJob, ...]
    splices: tuple[SpliceJob, ...]
    crimps: tuple[CrimpJob, ...]
    studs: tuple[StudJob, ...]
    terminals: tuple[ReTermination, ...]
    housings: tuple[Housing, ...]
    left_alone: tuple[WireJob, ...]
    kept_off: frozenset[str]
    kept_off_before: frozenset[str]
