"""What is said of the ends of a join, and of where it sits: the same for the sheet and for the list.

Takes a Context with a merge. Gives: for each end its contact, the wire that is left there with its length and its label; and the
spots at which a join is made, in order along the bundle; and what each join takes from copper that stays. None is unknown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..geometry.labels import labels_of_wire
from ..merge.fit import Fit, fits, stub_of
from ..merge.losses import Loss, losses_of
from ..merge.plan import End, Join, Merge
from ..model.harness import UNKNOWN, Contact, Harness, Wire
from ..network.cavity_order import counted
from .context import Context


@dataclass(frozen=True, slots=True)
class JoinEnd:
    """One end of a join.

    letter:   A, B, ... in the order in which they are written
    contact:  None of an end that is not found yet
    title:    of the connector, device, part, splice or ground that it is at
    wire:     what is left of the wire there, as the merge has it; None where the contact itself takes the join, or the end is not found
    stub_mm:  its length from here to the join, measured or worked out; None where it is not known, or no wire is cut
    fit:      whether it reaches; None where no wire is cut
    label:    what stands on its label at the join, "" where there is no wire
    """

    letter: str
    end: End
    contact: Contact | None
    title: str
    wire: Wire | None
    stub_mm: float | None
    fit: Fit | None
    label: str

    @property
    def is_unknown(self) -> bool:
        return self.end.address == UNKNOWN

    @property
    def does(self) -> str:
        """Function and signal, as described: ``charge lamp, charge-lamp``."""
        return ", ".join(dict.fromkeys(filter(None, (self.contact.function, self.contact.signal)))) if self.contact else ""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where something of a join is made.

    at:      the splice or other contact
    segment: the segment along which it sits, "" at a point; point: the point, "" where it is between two, or nobody said
    offset_mm: from the ``from`` end of the segment; 0 at a point
    """

    join: Join
    at: str
    segment: str
    point: str
    offset_mm: float


def joins_in_order(merge: Merge) -> list[Join]:
    """All joins, counted up."""
    return sorted(merge.joins.values(), key=lambda join: counted(join.id))


def ends_of(context: Context, join: Join, reach: dict[tuple[str, str], Fit]) -> tuple[JoinEnd, ...]:
    """The ends of a join as they are written; reach: as ``reaches`` gives it."""
    return tuple(_end(context, join, letter, end, reach) for letter, end in zip("ABCDEFGHIJKLMNOPQRSTUVWXYZ", join.ends, strict=False))


def reaches(context: Context) -> dict[tuple[str, str], Fit]:
    """(join, wire) -> whether the stub of the wire reaches the join."""
    assert context.merge is not None
    return {(fit.join, fit.wire): fit for fit in fits(context.merge, context.harness, context.geometry) if fit.join}


def _end(context: Context, join: Join, letter: str, end: End, reach: dict[tuple[str, str], Fit]) -> JoinEnd:
    harness = context.harness
    contact = harness.contacts.get(end.address)
    stub = stub_of(harness, end.wire, end.lands)
    wire = harness.wires.get(stub)
    length = context.geometry.lengths[stub].finished_mm if wire and end.cut else None
    labels = labels_of_wire(harness, wire, context.convention, context.join_numbers) if wire else ()
    label = next((label.text for label in labels if label.at == end.lands), "")
    return JoinEnd(letter, end, contact, title_of(harness, contact.owner) if contact else "", wire, length, reach.get((join.id, end.wire)) if end.cut else None, label)


def title_of(harness: Harness, owner: str) -> str:
    """The title of what owns contacts; "" where it has none."""
    for things in (harness.connectors, harness.devices, harness.parts, harness.splices, harness.grounds, harness.boxes):
        if owner in things:
            return things[owner].title
    return ""


# --------------------------------------------------------------------------- what it takes

MOST_LOST = 4
"""Contacts that are named of what a join takes; how many more there are is said."""


def takes_words(context: Context) -> dict[str, tuple[str, ...]]:
    """Join -> what its cuts take, each in a line; of copper that leaves nothing is said, and joins that take nothing are not in it."""
    assert context.merge is not None
    of_joins = _joins_of_islands(context)
    found = {}
    for id, lost in losses_of(context.merge).items():
        if words := tuple(line for loss in lost if (line := _loss_words(context, id, loss, of_joins))):
            found[id] = words
    return found


def _joins_of_islands(context: Context) -> dict[int, list[str]]:
    """Island of the merge -> the joins that tie it."""
    found: dict[int, list[str]] = {}
    island_of = context.network.island_of
    for join in joins_in_order(context.merge):
        for island in dict.fromkeys(island_of[node] for node in (*join.splices, *(end.lands for end in join.ends)) if node in island_of):
            found.setdefault(island, []).append(join.id)
    return found


def _loss_words(context: Context, join: str, loss: Loss, of_joins: dict[int, list[str]]) -> str:
    """``takes the last source (donor/K2.87) from donor/X24.1 and 1 that leaves; on J24 now``; "" where all of it leaves."""
    stay = [address for address in loss.left if address in context.harness.contacts]
    if not stay:
        return ""
    leaves = len(loss.left) - len(stay)
    named = [*stay[:MOST_LOST], *([f"{len(stay) - MOST_LOST} more"] if len(stay) > MOST_LOST else []), *([f"{leaves} that leave{'s' * (leaves == 1)}"] if leaves else [])]
    others = dict.fromkeys(other for address in stay for other in of_joins.get(context.network.island_of.get(address, -1), ()) if other != join)
    now = f"on {' and '.join(others)} now" if others else "no join leads there"
    return f"takes the last {loss.what} ({', '.join(loss.gave)}) from {', '.join(named)}; {now}"


# ------------------------------------------------------------------------- where it is made

def spots_along_the_bundle(context: Context) -> list[tuple[str, list[Spot]]]:
    """(segment or point, the spots there), as the segments are described, each after the point it begins at; "" last: those of which no place is known."""
    assert context.merge is not None
    by_place: dict[str, list[Spot]] = {}
    for join in joins_in_order(context.merge):
        for spot in spots_of(context, join):
            by_place.setdefault(_name(spot), []).append(spot)
    order = dict.fromkeys(name for segment in context.harness.segments.values() for name in (f"point {segment.from_}", f"segment {segment.id}", f"point {segment.to}"))
    # what is put on a point that no segment leads to comes after those
    names = [name for name in (*order, *(name for name in by_place if name and name not in order), "") if name in by_place]
    return [(name, sorted(by_place[name], key=lambda spot: spot.offset_mm)) for name in names]


def _name(spot: Spot) -> str:
    return f"segment {spot.segment}" if spot.segment else f"point {spot.point}" if spot.point else ""


def spots_of(context: Context, join: Join) -> Iterator[Spot]:
    """Its splices, and whatever else takes an end of it."""
    for node in dict.fromkeys((*join.splices, *(end.lands for end in join.ends))):
        if node != UNKNOWN:
            yield _spot(context, join, node)


def _spot(context: Context, join: Join, node: str) -> Spot:
    station = context.geometry.stations.get(node)
    if station is not None and station.segment is not None and station.offset_mm is not None:
        return Spot(join, node, station.segment, "", station.offset_mm)
    contact = context.harness.contacts.get(node)
    point = station.from_point if station is not None and station.toward_point is None else context.harness.place_of.get(contact.owner) if contact else None
    return Spot(join, node, "", point or "", 0.0)


def unknown_ends(joins: Sequence[Join]) -> list[str]:
    """The joins of which an end is not found yet."""
    return [join.id for join in joins if join.has_unknown_end]
