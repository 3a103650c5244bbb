"""From records to the harness.

Takes: the documents of a description (main file first, then its includes), each
with its own colour convention and wire type. Gives: the Harness and findings.
What is wrong is reported and left out, so that one run reports all. Nothing here
judges the harness; that is for ``rules``.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import partial

from ..description.text import Items, Record
from ..description.units import Length, parse_length, parse_quantity
from ..findings import Finding, Related
from ..trade.ampacity import DEFAULT_TABLE, TABLES
from .build_contacts import build_contacts
from .build_owners import build_owners
from .build_settings import read_rule_options, read_terminals, read_waivers
from .build_states import check_devices, find_key_switch, read_states, read_zones
from .build_wires import build_wires
from .harness import NEAR, Allowances, Circuit, Harness, Point, Revision, Segment
from .ids import gather, id_fault, own_part, printable, refuse, report_case
from .values import Values

_LENGTH = parse_length
_ZERO_LENGTH = partial(parse_length, zero=True)


def build_harness(documents: Sequence[Record], file: str, sources: Collection[str] = ()) -> tuple[Harness, list[Finding]]:
    """The harness that the documents describe, and every finding on the way.

    documents: at least one, the main file first; file: its name for the title block;
    sources: names that stand before the ids of what a merge took over.
    """
    values = Values()
    main = documents[0]
    sections = gather(values, documents, sources)
    segments = {name: _segment(values, name, entry) for name, (entry, _) in sections["segments"].items()}
    points = _points(values, sections["places"], segments, sources)
    owners = build_owners(values, sections)
    contacts = build_contacts(values, sections, owners)
    check_devices(contacts, owners.devices)
    supplies = tuple(name for name, device in owners.devices.items() if device.supply)
    key_switch = find_key_switch(values, owners.devices, bool(supplies) and not sources)
    states = read_states(contacts, sections["states"], owners.devices)
    wired = build_wires(values, documents, sections, contacts, segments, points)
    circuits = {name: _circuit(values, name, entry) for name, (entry, _) in sections["circuits"].items()}
    for wire in wired.wires.values():
        if wire.circuit and wire.circuit not in circuits:
            circuits[wire.circuit] = Circuit(wire.circuit, wire.circuit, "", "", None, "", None)
    _check_supply(values, main)
    harness = Harness(
        title=values.text(main, "title"), owner=values.text(main, "owner"), number=values.text(main, "number"),
        by=values.text(main, "by"), approved=values.text(main, "approved"), note=values.text(main, "note"),
        supply=values.text(main, "supply") or "12 V", convention=values.text(main, "colours") or None,
        log=_log(values, main), allowances=_allowances(values, main),
        points=points, segments=segments, devices=owners.devices, connectors=owners.connectors,
        contacts=contacts.by_address, boxes=owners.boxes, parts=owners.parts, splices=owners.splices, grounds=owners.grounds,
        circuits=circuits, cables=wired.cables, pairs=wired.pairs, wires=wired.wires, wires_at=wired.wires_at,
        place_of=owners.place_of, supplies=supplies, key_switch=key_switch, states=states, zones=read_zones(values, main),
        ampacity=_ampacity(values, main), terminals=read_terminals(values, documents), rule_options=read_rule_options(values, documents),
        waivers=read_waivers(values, documents), file=file, source=main,
    )
    return harness, values.findings


def _segment(values: Values, name: str, entry: Record) -> Segment:
    length = values.quantity(entry, "length", _ZERO_LENGTH, f"segment {name}")
    grommet = values.quantity(entry, "grommet", _LENGTH, f"segment {name}")
    return Segment(
        id=name, from_=values.text(entry, "from"), to=values.text(entry, "to"),
        length_mm=length.mm if length else None, length_as_stated=length.stated if length else "",
        covering=values.text(entry, "covering"), zone=values.word(entry, "zone"),
        grommet_mm=grommet.mm if grommet else None, note=values.text(entry, "note"),
        evidence=values.text(entry, "evidence"), near=_near(values, name, entry.get("near")),
        bend=values.quantity(entry, "bend", _LENGTH, f"segment {name}"), clips=values.quantity(entry, "clips", _LENGTH, f"segment {name}"),
        slack=values.quantity(entry, "slack", _ZERO_LENGTH, f"segment {name}"), covering_wall=values.quantity(entry, "covering-wall", _LENGTH, f"segment {name}"),
        sections=_sections(values, name, entry.get("sections")), source=entry,
    )


def _near(values: Values, segment: str, written: object) -> dict[str, Length]:
    """What a segment runs near -> the clearance, in the order of the language."""
    if not isinstance(written, Record):
        return {}
    read = ((what, values.quantity(written, what, _ZERO_LENGTH, f"segment {segment}")) for what in NEAR)
    return {what: length for what, length in read if length is not None}


def _sections(values: Values, segment: str, written: object) -> dict[str, Length]:
    """Named station -> how far it is from the beginning of its segment, in the order of the file."""
    if not isinstance(written, Record):
        return {}
    read = ((name, values.quantity(written, name, _ZERO_LENGTH, f"segment {segment}")) for name in written)
    return {name: length for name, length in read if length is not None}


def _points(values: Values, places: dict, segments: dict[str, Segment], sources: Collection[str]) -> dict[str, Point]:
    """The points described under ``places``, then those that only segments name."""
    points = {name: Point(name, values.text(entry, "title"), values.word(entry, "zone"), values.text(entry, "note"), entry)
              for name, (entry, _) in places.items()}
    first = {name.casefold(): (name, document["places"].place_of_key, name) for name, (_, document) in places.items()}
    for segment in segments.values():
        for key, name in (("from", segment.from_), ("to", segment.to)):
            if not name or name in points:
                continue
            if fault := id_fault(own_part(name, sources)):
                refuse(values, f"the point '{printable(name)}' in `{key}` of segment {segment.id}", fault, segment.source.place_of(key))
            other, its_place, its_key = first.setdefault(name.casefold(), (name, segment.source.place_of, key))
            if other != name:
                report_case(values, f"the points {name} and {other}", segment.source.place_of(key), Related(its_place(its_key), f"{other} stands here"))
            points[name] = Point(name, "", None, "", segment.source)
    return points


def _circuit(values: Values, name: str, entry: Record) -> Circuit:
    hot = values.texts(entry, "hot") if isinstance(entry.get("hot"), Items) else None
    return Circuit(name, values.text(entry, "title") or name, values.text(entry, "system"), values.text(entry, "number"),
                   hot, values.text(entry, "note"), entry, pulsed=entry.get("pulsed") == "true")


def _log(values: Values, main: Record) -> tuple[Revision, ...]:
    log = main.get("log")
    return tuple(
        Revision(*(values.text(entry, key) for key in ("revision", "date", "by", "reading", "why")))
        for entry in (log if isinstance(log, Items) else ()) if isinstance(entry, Record)
    )


def _allowances(values: Values, main: Record) -> Allowances:
    stated = main.get("allowances")
    default = Allowances()
    if not isinstance(stated, Record):
        return default

    def mm(record: Record, key: str, otherwise: float | None) -> float | None:
        length = values.quantity(record, key, _ZERO_LENGTH, "the allowances")
        return length.mm if length else otherwise

    end, splice = mm(stated, "end", default.end_mm), mm(stated, "splice", default.splice_mm)
    rounding = stated.get("rounding")
    if isinstance(rounding, Record):
        step = mm(rounding, "step", default.step_mm)
        return Allowances(end, splice, step, mm(rounding, "above", None), mm(rounding, "step-above", step))
    if isinstance(rounding, str):
        step = mm(stated, "rounding", default.step_mm)
        return Allowances(end, splice, step, None, step)
    return Allowances(end, splice)


def _ampacity(values: Values, main: Record) -> str:
    """The table of ampacity; the default also for a name that is none (then the schema check says so)."""
    named = values.text(main, "ampacity")
    return named if named in TABLES else DEFAULT_TABLE


def _check_supply(values: Values, main: Record) -> None:
    supply = values.quantity(main, "supply", partial(parse_quantity, kind="voltage"), "the description")
    values.check_supply(supply, "the supply", main.place_of("supply"))
