"""``places:`` of a merge: what of a source, and which joins and interfaces, are put on which point of the vehicle as it will be.

Takes: the entries whose value is a point. Gives: for each source its points that are points of the
merge, and for joins and interfaces where they sit; what owns contacts is moved by the edits.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

from ..description.text import Record
from ..model.ids import names, nearest, printable
from ..model.values import Values
from .edits import Edits
from .plan import Source
from .records import with_value, without

@dataclass(slots=True)
class Placed:
    """aliases: source -> its point -> point of the merge; added: join or interface -> point; owners: thing of a source -> point."""

    aliases: dict[str, dict[str, str]] = field(default_factory=dict)
    added: dict[str, str] = field(default_factory=dict)
    owners: dict[str, str] = field(default_factory=dict)


def read_places(values: Values, documents: Sequence[Record], sources: Mapping[str, Source], added: Collection[str], edits: Edits) -> Placed:
    """Every line of ``places:`` that puts a thing on a point. added: the ids of joins and interfaces."""
    placed = Placed(aliases={name: {} for name in sources})
    points = _points(documents)
    for document in documents:
        written = document.get("places")
        for name, point in written.items() if isinstance(written, Record) else ():
            if not isinstance(point, str):
                continue
            if point not in points:
                near = nearest(point, points)
                values.error("no-such-point", f"`places` puts {printable(name)} on '{printable(point)}', which is no point of this file", written.place_of(name),
                             f"did you mean {near}?" if near else f"its points are {names(points)}; a point is an end of a segment, or described under `places`")
                continue
            _put(values, name, point, written, sources, added, placed, edits)
    return placed


def _points(documents: Sequence[Record]) -> dict[str, None]:
    points: dict[str, None] = {}
    for document in documents:
        for name, entry in _entries(document, "places"):
            if isinstance(entry, Record):
                points[name] = None
        for _, entry in _entries(document, "segments"):
            if isinstance(entry, Record):
                points.update((entry[key], None) for key in ("from", "to") if isinstance(entry.get(key), str))
    return points


def _entries(document: Record, section: str):
    written = document.get(section)
    return written.items() if isinstance(written, Record) else ()


def _put(values: Values, name: str, point: str, written: Record, sources: Mapping[str, Source], added: Collection[str], placed: Placed, edits: Edits) -> None:
    source_name, slash, own = name.partition("/")
    if not slash and name in added:
        placed.added[name] = point
        return
    source = sources.get(source_name) if slash else None
    if source is not None:
        # a name may be that of a point and of a thing; what is put on a point here is a point first
        if own in source.harness.points:
            placed.aliases[source_name][own] = point
            return
        if section := section_of(source, own):
            placed.owners[name] = point
            edits.change(section, name, partial(_at_point, point))
            return
        known = [source.id(one) for one in (*source.harness.points, *(id for group in _groups(source) for id in group[1]))]
    else:
        known = [*added, *(source.id(one) for source in sources.values() for one in source.harness.points)]
    near = nearest(name, known)
    values.error("no-such-thing", f"`places` puts '{printable(name)}' on {point}, but there is no such thing", written.place_of_key(name),
                 f"did you mean {near}?" if near else "on the left stands a point, connector, device, box, part, splice or ground of a source (`donor/E1`), or the number of a join or interface")


def _at_point(point: str, entry: Record) -> Record:
    return with_value(without(entry, "at"), "place", point)


def section_of(source: Source, own: str) -> str:
    """The section in which a source describes an owner of contacts; "" where it has none of that id."""
    return next((section for section, group in _groups(source) if own in group), "")


def _groups(source: Source):
    harness = source.harness
    yield from (("connectors", harness.connectors), ("devices", harness.devices), ("boxes", harness.boxes), ("splices", harness.splices), ("grounds", harness.grounds))
    for section, kind in (("fuses", "fuse"), ("fusible-links", "fusible link"), ("relays", "relay"), ("diodes", "diode"), ("resistors", "resistor")):
        yield section, {part.id for part in harness.parts.values() if part.kind == kind}
