"""Joins: a cut or a tap in a wire of each vehicle, and what ties the ends.

Takes: the entries of ``joins:``, the sources, the fates, and the contacts at which interfaces want the ends.
Gives: the joins and the far halves, and puts into the edits what becomes of the wires: the stub keeps
the id of its wire and ends at the join; what is cut off leaves the copper, unless the join says that it is kept or capped;
a tapped wire becomes two, joined.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from string import ascii_lowercase

from ..description.text import Record
from ..description.units import Length, parse_length
from ..findings import Finding, Related, Severity
from ..model.harness import OPEN, UNKNOWN, Kind
from ..model.ids import nearest
from ..model.values import Values
from .edits import Change, Edits
from .ends import Found, find_ends, stated_ends
from .fates import Fates
from .plan import End, FarHalf, Fate, Join, Source
from .records import record_of, with_number, with_value, without

_ZERO = partial(parse_length, zero=True)


@dataclass(slots=True)
class Joined:
    """joins by number; far halves by id; cuts: wire -> side ("from", "to") -> the cut or tap there."""

    joins: dict[str, Join] = field(default_factory=dict)
    far_halves: dict[str, FarHalf] = field(default_factory=dict)
    cuts: dict[str, dict[str, Cut]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Cut:
    """join, and where the stub ends now; far: the fate of what is cut off; circuit: to which the stub belongs, "" its own."""

    join: str
    lands: str
    cut: bool
    stub: Length | None
    far: Fate
    circuit: str
    entry: Record


def read_joins(values: Values, written: object, sources: Mapping[str, Source], fates: Fates, places: Mapping[str, str],
               lands_of: Mapping[str, Mapping[str, str]], own: Collection[str], edits: Edits) -> Joined:
    """Every join that can be made.

    places: join -> the point it is put on by ``places:``; lands_of: interface -> end -> the contact at which it ends there
    own: ids of what the merge adds itself
    """
    joined = Joined()
    if not isinstance(written, Record):
        return joined
    for name, entry in written.items():
        if not isinstance(entry, Record):
            continue
        ends = find_ends(values, name, entry, sources, own)
        if ends is None or not _free(values, name, entry, ends, joined, fates, edits) or not _keys_are_ends(values, name, entry, ends):
            continue
        _make(values, name, entry, _cut_where_nothing_stays(values, name, entry, ends, fates), places.get(name, ""), lands_of, edits, joined)
    _stubs_are_of_wires(values, sources, joined)
    _cut_wires(sources, joined, edits)
    return joined


def _free(values: Values, name: str, entry: Record, ends: list[Found], joined: Joined, fates: Fates, edits: Edits) -> bool:
    """Whether no other join has the end already, and no line says by name that the wire leaves."""
    good = True
    for end in ends:
        if not end.wire:
            continue
        other = joined.cuts.get(end.wire, {}).get(end.side)
        if other is not None:
            values.error("end-joined-twice", f"join {name} takes the end {end.address} of wire {end.wire}, which join {other.join} has", end.place,
                         _instead(name, entry, end, ends, other, joined.joins[other.join], edits),
                         Related(other.entry.place(), f"join {other.join} stands here"))
            good = False
        line = fates.wires.get(end.wire)
        if line is not None and line.fate.leaves and line.selector == "wire":
            values.error("join-on-removed-wire", f"join {name} ends on wire {end.wire}, which a line of `fates` says is {line.fate.value}", end.place,
                         "take that line out; a join decides the fate of its wires: the stub stays, the far half is removed", Related(line.record.place(), "its fate stands here"))
            good = False
    return good


def _cut_where_nothing_stays(values: Values, name: str, entry: Record, ends: list[Found], fates: Fates) -> list[Found]:
    """The ends, of which those are cut that were to be tapped although what their wire leads on to leaves: a finding says so."""
    found = []
    for end in ends:
        if end.wire and not end.cut and end.source is not None:
            wire = end.source.harness.wires[end.wire.partition("/")[2]]
            beyond = wire.to if end.side == "from" else wire.from_
            owner = end.source.id(end.source.harness.contacts[beyond].owner) if beyond in end.source.harness.contacts else ""
            line = fates.owners.get(owner)
            if line is not None and line.fate.leaves:
                values.findings.append(Finding(
                    "tap-into-what-leaves", Severity.MALFUNCTION, f"join {name} taps wire {end.wire} at {end.address}, and {end.source.id(beyond)}, to which it leads on, leaves with {owner}: its rest would hang loose; it is taken as cut",
                    entry.place_of("cut"), f"leave `cut` out of {name}", (Related(line.record.place(), "its fate stands here"),), at=(f"wire {end.wire}",)))
                end = replace(end, cut=True)
        found.append(end)
    return found


def _instead(name: str, entry: Record, end: Found, ends: list[Found], cut: Cut, first: Join, edits: Edits) -> str:
    """What to write where an end is taken already, by the join ``first``."""
    had = {one.address for one in first.ends}
    others = [one for one in ends if one.address not in had]
    through = entry.get("through")
    if not others and through and not first.through:
        return f"write `through: {through}` in join {first.id}, and take join {name} out"
    if not others:
        return f"take join {name} out: join {first.id} ties them"
    if not first.through and not through:
        chosen = entry.get("wires")
        wires = [f"{one.address}: {chosen[one.address]}" for one in others if isinstance(chosen, Record) and one.address in chosen]
        more = f", and `wires: {{{', '.join(wires)}}}`" if wires else ""
        return f"add the third end to join {first.id}: `ends: [..., {', '.join(one.address for one in others)}]`{more}"
    # in an interface each end has one terminal: the further wire is tied at a splice before it
    tie, before = cut.lands, ""
    if first.through and tie not in edits.added.get("splices", {}) and end.address != tie:
        tie = f"{first.id}{ascii_lowercase[next(position for position, one in enumerate(first.ends) if one.address == end.address)]}"
        before = f"give join {first.id} `piece: {{size: ..., colour: ..., at: {end.address}}}`, which puts splice {tie} behind {end.address}; then "
    listed = ", ".join([tie, *(one.address for one in others)])
    if not through:
        return f"{before}write `{name}: {{ends: [{listed}]}}`"
    return f"{before}name {tie} in place of {end.address} at its role of {through}, and write `{name}: {{ends: [{listed}], through: {through}, piece: {{size: ..., colour: ..., at: {tie}}}}}`"


def _keys_are_ends(values: Values, name: str, entry: Record, ends: list[Found]) -> bool:
    known = [end.address for end in ends]
    good = True
    for key in ("stubs", "far", "wires"):
        for address, place in stated_ends(entry, key):
            if address not in known:
                values.error("no-such-end", f"`{key}` of join {name} names '{address}', but its ends are {' and '.join(known)}", place, "name one of its ends")
                good = False
    return good


def _make(values: Values, name: str, entry: Record, ends: list[Found], put_on: str, lands_of: Mapping[str, Mapping[str, str]], edits: Edits, joined: Joined) -> None:
    through = values.word(entry, "through") or ""
    piece = entry.get("piece") if isinstance(entry.get("piece"), Record) else None
    place = values.word(entry, "place") or put_on
    said = {"method": values.text(entry, "method"), "place": "" if entry.get("at") else place, "at": values.text(entry, "at")}

    def splice(id: str, *, members_unknown: bool = False) -> str:
        # beyond an interface lies another copper: its splice has a number of its own
        edits.add("splices", id, record_of({**said, "join": id if through else name, "members": [UNKNOWN] if members_unknown else ""}, entry.source, entry.mark))
        splices.append(id)
        return id

    splices: list[str] = []
    nodes = _through(values, name, entry, ends, through, lands_of) if through else None
    pieces: list[str] = []
    if through and nodes is None:
        return
    if nodes is not None:
        nodes = _extended(values, name, entry, piece, ends, nodes, splice, edits, pieces)
    else:
        nodes = _tied(values, name, entry, piece, ends, splice, edits, pieces)
    if nodes is None:
        return
    stubs = {end.address: values.quantity(entry["stubs"], end.address, _ZERO, f"the stubs of join {name}") for end in ends if isinstance(entry.get("stubs"), Record) and end.address in entry["stubs"]}
    far = entry.get("far") if isinstance(entry.get("far"), Record) else {}
    made = []
    for end, node in zip(ends, nodes, strict=True):
        stub = stubs.get(end.address)
        made.append(End(end.address, end.source.name if end.source else "", end.wire, end.cut, stub, node))
        if end.wire:
            fate = next((fate for fate in Fate if fate.value == far.get(end.address)), Fate.REMOVED)
            joined.cuts.setdefault(end.wire, {})[end.side] = Cut(name, node, end.cut, stub, fate, values.text(entry, "circuit"), entry)
        elif end.source and end.source.harness.contacts[end.address.partition("/")[2]].kind is Kind.SPLICE:
            edits.change("splices", end.address, partial(with_number, name))
    joined.joins[name] = Join(name, tuple(made), values.text(entry, "method"), place, values.text(entry, "at"),
                              values.quantity(entry, "strip", _ZERO, f"join {name}"), values.quantity(entry, "overlap", _ZERO, f"join {name}"),
                              " ".join(pieces), through, tuple(splices), values.text(entry, "note"), entry)


def _through(values: Values, name: str, entry: Record, ends: list[Found], through: str, lands_of: Mapping[str, Mapping[str, str]]) -> list[str] | None:
    """Where the interface wants each end; None where it does not know one (a finding says so)."""
    lands = lands_of.get(through)
    if lands is None:
        meant = [id for id, of in lands_of.items() if all(end.address in of for end in ends)]
        near = f"did you mean {' or '.join(meant)}, which names {' and '.join(end.address for end in ends)}? else " if meant else f"did you mean {one}? else " if (one := nearest(through, lands_of)) else ""
        values.error("no-such-interface", f"join {name} goes through {through}, but there is no such interface, or it cannot be made", entry.place_of("through"),
                     f"{near}write it under `interfaces:`, or take `through` out")
        return None
    nodes = []
    for end in ends:
        node = lands.get(end.address) or (end.address if end.is_direct else "")
        if not node:
            source = end.source.name if end.source else ""
            free = [address for address in lands if address.partition("/")[0] == source and address not in {one.address for one in ends}]
            wrong = f"; or, where {end.address} is not the end that was meant, write {' or '.join(free)}" if free else ""
            values.error("end-not-in-interface", f"join {name} brings {end.address} to interface {through}, which has no place for it: its ends are {', '.join(lands) or 'none'}",
                         end.place, f"name {end.address} at one of the roles of {through}{wrong}")
            return None
        nodes.append(node)
    return nodes


def _tied(values: Values, name: str, entry: Record, piece: Record | None, ends: list[Found], splice: Callable[..., str], edits: Edits, pieces: list[str]) -> list[str] | None:
    """The contact at which each end is joined: one splice, the end that takes a wire as it is, or the two ends of the piece."""
    direct = [end for end in ends if end.is_direct]
    if piece is None:
        if len(direct) > 1:
            values.error("join-without-wire", f"join {name} ties {' and '.join(end.address for end in direct)}, and none of them has a wire to be joined", entry.place_of("ends"),
                         "say what goes between: `piece: {size: 0.75 mm2, colour: ...}`")
            return None
        node = direct[0].address if direct else splice(name, members_unknown=any(end.is_unknown for end in ends))
        return [node] * len(ends)
    if len(ends) != 2:
        values.error("piece-between-two", f"join {name} has a piece and {len(ends)} ends: {', '.join(end.address for end in ends)}", entry.place_of("piece"), "a piece lies between two; make a second join")
        return None
    one = len(direct) == 1
    nodes = [end.address if end.is_direct else splice(name if one else name + letter, members_unknown=end.is_unknown) for end, letter in zip(ends, "ab", strict=True)]
    _add_piece(name, piece, nodes[0], nodes[1], ends, values.text(entry, "circuit"), edits, pieces)
    return nodes


def _extended(values: Values, name: str, entry: Record, piece: Record | None, ends: list[Found], lands: list[str], splice: Callable[..., str], edits: Edits, pieces: list[str]) -> list[str] | None:
    """Where each end is joined on its way to the interface: there itself, or at a splice at which it goes over into a piece; an end without a wire gets a piece."""
    said = () if piece is None else values.texts(piece, "at") or tuple(filter(None, [values.word(piece, "at")]))
    # an end without a wire cannot reach, and of a tapped wire both halves would end in one terminal
    bare = [end for end, node in zip(ends, lands, strict=True) if node != end.address and (end.is_direct or end.wire and not end.cut)]
    extended = said or [end.address for end in bare or (ends if piece is not None else ())]
    if bare and piece is None or any(end.address not in extended for end in bare):
        values.error("join-without-wire", f"join {name} leads {' and '.join(end.address for end in bare)} to an interface, and no wire leads there{' from a tapped one' if any(end.wire for end in bare) else ''}", entry.place_of("ends"),
                     "say what leads there: `piece: {size: 0.75 mm2, colour: ...}`")
        return None
    nodes = []
    for end, node, letter in zip(ends, lands, ascii_lowercase, strict=False):
        if end.address not in extended or node == end.address:
            nodes.append(node)
            continue
        nodes.append(end.address if end.is_direct else splice(name + letter))
        _add_piece(name + letter, piece, nodes[-1], node, [end], values.text(entry, "circuit"), edits, pieces)
    return nodes


def _add_piece(id: str, piece: Record, from_: str, to: str, ends: list[Found], said: str, edits: Edits, pieces: list[str]) -> None:
    entry = without(piece, "at")
    for key, value in (("to", to), ("from", from_)):
        entry = with_value(entry, key, value)
    circuit = said or next((end.source.id(wire.circuit) for end in ends if end.wire and end.source and (wire := end.source.harness.wires[end.wire.partition("/")[2]]).circuit), "")
    if circuit and "circuit" not in entry:
        entry = with_value(entry, "circuit", circuit)
    edits.add("wires", id, entry)
    pieces.append(id)


def _stubs_are_of_wires(values: Values, sources: Mapping[str, Source], joined: Joined) -> None:
    """What is left of a wire is no longer than it was found."""
    for id, sides in joined.cuts.items():
        source = sources[id.partition("/")[0]]
        wire = source.harness.wires[id.partition("/")[2]]
        length = source.geometry.lengths[wire.id]
        stubs = [(cut, cut.stub, source.id(wire.from_ if side == "from" else wire.to)) for side, cut in sides.items() if cut.stub is not None]
        whole_mm = length.finished_mm
        if not stubs or whole_mm is None or sum(stub.mm for _, stub, _ in stubs) <= whole_mm:
            continue
        cut, _, address = stubs[-1]
        whole = f"{whole_mm / 1000:.3g} m" if whole_mm >= 1000 else f"{whole_mm:.0f} mm"
        said = " and ".join(f"{stub.stated} ({one.join})" for one, stub, _ in stubs)
        values.findings.append(Finding(
            "stub-longer-than-wire", Severity.MALFUNCTION, f"{'stub' if len(stubs) == 1 else 'stubs'} longer than the wire: {said}, and wire {id} is {whole}{'' if length.measured_mm is not None else ' by its way'}",
            cut.entry["stubs"].place_of(address), f"measure from {address} to where it is cut, and write that; or leave it out: then it is worked out{'' if length.measured_mm is not None else f'; or write `length:` of wire {wire.id} as measured in {source.file}'}",
            at=(f"wire {id}",), value=said, limit=whole))


def _cut_wires(sources: Mapping[str, Source], joined: Joined, edits: Edits) -> None:
    """The stubs, what is left of tapped wires, and the far halves."""
    for id, sides in joined.cuts.items():
        name, _, own = id.partition("/")
        source = sources[name]
        wire = source.harness.wires[own]
        derived = edits.derived.setdefault(id, [])
        joins = tuple(cut.join for cut in sides.values())
        if len(sides) == 2:
            first, second = sides["from"], sides["to"]
            edits.change("wires", id, _stub(first, {"to": first.lands}))
            derived.append((f"{id}-to", _stub(second, {"from": second.lands})))
            if first.cut or second.cut:
                joined.far_halves[f"{id}-far"] = FarHalf(f"{id}-far", id, joins, "", first.far if first.cut else second.far)
            else:
                derived.append((f"{id}-rest", _rest({"from": first.lands, "to": second.lands})))
            continue
        side, cut = next(iter(sides.items()))
        other, end = ("to", wire.to) if side == "from" else ("from", wire.from_)
        edits.change("wires", id, _stub(cut, {other: cut.lands}))
        if not cut.cut:
            derived.append((f"{id}-rest", _rest({side: cut.lands})))
            continue
        joined.far_halves[f"{id}-far"] = FarHalf(f"{id}-far", id, joins, "" if end in (UNKNOWN, OPEN) else source.id(end), cut.far)
        if cut.far in (Fate.KEPT, Fate.CAPPED) and end not in (UNKNOWN, OPEN):
            derived.append((f"{id}-far", _rest({side: OPEN})))


def _stub(cut: Cut, ends: Mapping[str, str]) -> Change:
    """The wire's record as its stub has it; its measured length held for the whole, so it goes."""
    said = {"length": cut.stub.stated} if cut.stub is not None else {}
    if cut.circuit:
        said["circuit"] = cut.circuit
    return lambda entry: _with(entry, {**ends, **said})


def _rest(ends: Mapping[str, str]) -> Change:
    """The wire's record as the rest of it has it."""
    return lambda entry: _with(without(entry, "pair"), ends)


def _with(entry: Record, values: Mapping[str, str]) -> Record:
    entry = without(entry, "length", "via")
    for key, value in values.items():
        entry = with_value(entry, key, value)
    return entry
