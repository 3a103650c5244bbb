"""The merge as decided: sources, a fate for every wire, joins, interfaces. Plain values, no behaviour beyond look-up.

Made by ``assemble.py`` from a merge file and its sources. Ids of a source's things carry its name
(``donor/E1.13``, ``host/37``); what the merge adds has none (``J1``, ``I1-K``). ``None`` is unknown.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from ..description.text import Record
from ..description.units import Length
from ..geometry.measure import Geometry
from ..model.harness import Harness


class Role(Enum):
    """What a source is: the vehicle that stays, or one that gives."""

    HOST = "host"
    DONOR = "donor"


class Fate(Enum):
    """What becomes of a wire."""

    KEPT = "kept"
    JOINED = "joined"
    CAPPED = "capped"
    REMOVED = "removed"
    STORED = "stored"           # set aside to be used again, with its terminals
    UNDECIDED = "undecided"     # no line reaches it

    @property
    def leaves(self) -> bool:
        """Whether the wire leaves the copper."""
        return self in (Fate.REMOVED, Fate.STORED)


@dataclass(frozen=True, slots=True)
class Source:
    """One description as found. harness, geometry: with its own ids, nothing of the merge in it; file: the main one, files: all of them, as shown in messages."""

    name: str
    role: Role
    file: str
    files: tuple[str, ...]
    harness: Harness
    geometry: Geometry
    note: str
    record: Record = field(repr=False)

    def id(self, own: str) -> str:
        """An id or address of the source as the merge has it."""
        return f"{self.name}/{own}"


@dataclass(frozen=True, slots=True)
class Decision:
    """The fate of a wire of a source.

    wire: as the merge has it; by: the line of ``fates:`` that decides, in words, "" where a join does or none;
    line: that line; joins: those that cut or tap the wire
    """

    wire: str
    source: str
    fate: Fate
    why: str
    by: str
    joins: tuple[str, ...]
    line: Record | None = field(repr=False)


@dataclass(frozen=True, slots=True)
class End:
    """One end that stays, of a join.

    address: a contact of the merge, or UNKNOWN
    source:  name of the source, "" for what the merge adds, and for an unknown end
    wire:    the wire that ends here and is joined, by its id in the merge; "" where the contact itself takes the join (a splice, ground, bar, free terminal)
    cut:     True where that wire is cut, False where it is tapped
    stub:    what is left of it at this end, as measured; None where it is computed
    lands:   the contact at which the stub, the piece or the other end's stub ends
    """

    address: str
    source: str
    wire: str
    cut: bool
    stub: Length | None
    lands: str


@dataclass(frozen=True, slots=True)
class Join:
    """A numbered tie of the two vehicles.

    place:   a point, or "" where none is said; at: a position on a segment as written, "" where none is
    strip, overlap: as written, None where not said
    piece:   the wire put in between, "" where the ends reach each other; it has the number of the join
    through: the interface, "" where the ends are joined as they are
    splices: those made for it, in the order of its ends
    """

    id: str
    ends: tuple[End, ...]
    method: str
    place: str
    at: str
    strip: Length | None
    overlap: Length | None
    piece: str
    through: str
    splices: tuple[str, ...]
    note: str
    source: Record = field(repr=False)

    @property
    def has_unknown_end(self) -> bool:
        return any(not end.source and not end.wire and end.address == "unknown" for end in self.ends)


@dataclass(frozen=True, slots=True)
class Interface:
    """Parts and wires between two circuits that do not fit.

    given: role of the recipe -> as written; things: ids of the parts, splices and wires it puts in;
    lands: role -> the contact at which that end's wire ends; place: the point at which it sits, "" where none is said
    """

    id: str
    recipe: str
    given: Mapping[str, str]
    things: tuple[str, ...]
    wires: tuple[str, ...]
    lands: Mapping[str, str]
    notes: tuple[str, ...]
    joins: tuple[str, ...]
    place: str
    note: str
    source: Record = field(repr=False)


@dataclass(frozen=True, slots=True)
class FarHalf:
    """What a join cuts off a wire: an object of its own, out of the copper.

    id: ``donor/260-far``; hangs: the contact at which it still hangs, as the merge has it; "" where both its ends are cut
    fate: removed unless the join says otherwise
    """

    id: str
    wire: str
    joins: tuple[str, ...]
    hangs: str
    fate: Fate


@dataclass(frozen=True, slots=True)
class Merge:
    """All that was decided, by id. Every mapping keeps the order of the files.

    decisions: wire -> its fate, for every wire of every source
    gone:      owner (device, connector, box, part, splice, ground) that leaves -> why, in words
    restated:  part or splice of a source that is to be otherwise than found -> in words: ``rating 8 A, as found 16 A``
    open:      contact left unconnected on purpose -> why
    freed:     positions of boxes whose fuse or relay leaves with its wires
    """

    sources: Mapping[str, Source]
    decisions: Mapping[str, Decision]
    joins: Mapping[str, Join]
    interfaces: Mapping[str, Interface]
    far_halves: Mapping[str, FarHalf]
    gone: Mapping[str, str]
    restated: Mapping[str, str]
    open: Mapping[str, str]
    freed: tuple[str, ...]
    record: Record = field(repr=False)

    def of(self, fate: Fate) -> tuple[Decision, ...]:
        """The wires of one fate."""
        return tuple(decision for decision in self.decisions.values() if decision.fate is fate)

    def source_of(self, id: str) -> Source | None:
        """The source that a thing of the merge comes from; None for what the merge adds."""
        name, slash, _ = id.partition("/")
        return self.sources.get(name) if slash else None
