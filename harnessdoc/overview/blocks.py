"""The harness as blocks and links, for the overview.

Takes the harness; gives blocks (what stands at the ends of wires) and links with the wires they count.
Wires that meet at splices are counted to one block, the hub of that copper: a ground if one is there, else a
box, else the block where most of them go. Things of one kind, place and system with the same neighbours are one
block with a line for each. Three stronger ways to fold are for what is too large for a page: things of one kind with the same neighbours, grounds apart,
as one block; besides that the wires to ground told in the block from which they come; and all small things of a system as one block. What is large stands for itself in each.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ..model.harness import Harness

Kind = Literal["device", "box", "halves", "connector", "part", "ground", "system"]
Fold = Literal["same", "alike", "grounded", "systems"]
FOLDS: tuple[Fold, ...] = ("same", "alike", "grounded", "systems")
"""How strongly things are folded to blocks: those of one place and system with the same neighbours; those with the same neighbours but for grounds; the same with the
grounds told in each; those of one system, with their grounds."""
MOST, MOST_OF_SYSTEM = 7, 24
"""Members of a block at most; more stand in a second block."""
LARGE = 16
"""A thing with more wires than this, those to ground not counted, stands for itself."""


@dataclass(frozen=True, slots=True)
class Block:
    """members: ids of the things it stands for; of mated halves the two connectors, else of one kind where ``system`` is "". ``within``: wires between
    its members. ``grounds``: where its wires ``grounded`` go, where grounds are told in the blocks."""

    id: str
    kind: Kind
    members: tuple[str, ...]
    system: str = ""
    within: tuple[str, ...] = ()
    grounds: tuple[str, ...] = ()
    grounded: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Link:
    """All wires between two blocks: ids, in the order of the file."""

    upper: str
    lower: str
    wires: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Overview:
    """Blocks by id; links, a ground below."""

    blocks: Mapping[str, Block]
    links: tuple[Link, ...]

    def part(self, links: Iterable[Link], alone: Iterable[str] = ()) -> Overview:
        """What some of its links show, and some blocks that are to be there besides."""
        links = tuple(links)
        ends = {*(end for link in links for end in (link.upper, link.lower)), *alone}
        return Overview({id: block for id, block in self.blocks.items() if id in ends}, links)


def overview_of(harness: Harness, fold: Fold = "same") -> Overview:
    """Every wire whose two ends are known and lie at different things is in one link, or told in one block; a block without either is left out."""
    owners = _Owners(harness)
    return _folded(harness, owners, _ends(harness, owners), fold)


def pairs_of(harness: Harness) -> dict[str, tuple[str, str]]:
    """Wire -> the two things it is counted between, before any are folded; of mated halves the first."""
    return _ends(harness, _Owners(harness))


class _Owners:
    """Block of every contact, before any are folded."""

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self._of = {connector: device.id for device in harness.devices.values() for connector in device.connectors}
        self.halves: dict[str, tuple[str, str]] = {}
        for connector in harness.connectors.values():
            other = connector.mates
            if other in harness.connectors and connector.id not in self._of and other not in self._of:
                self.halves[connector.id] = (connector.id, other)
                self._of[connector.id] = self._of[other] = connector.id

    def block(self, address: str) -> str | None:
        """None of a splice, and where the address is unknown."""
        contact = self._harness.contacts.get(address)
        if contact is None or contact.owner in self._harness.splices:
            return None
        part = self._harness.parts.get(contact.owner)
        return (part.box or part.id) if part else self._of.get(contact.owner, contact.owner)

    def kind(self, id: str) -> Kind:
        harness = self._harness
        if id in self.halves:
            return "halves"
        for kind, things in (("box", harness.boxes), ("ground", harness.grounds), ("part", harness.parts), ("connector", harness.connectors)):
            if id in things:
                return kind
        return "device"


def _ends(harness: Harness, owners: _Owners) -> dict[str, tuple[str, str]]:
    """Wire -> the two blocks it is counted between."""
    found: dict[str, tuple[str, str]] = {}
    spliced: dict[str, list[tuple[str, str]]] = {}
    copper = _spliced_copper(harness)
    for wire in harness.wires.values():
        blocks = [owners.block(end) for end in (wire.from_, wire.to)]
        if blocks[0] and blocks[1]:
            found[wire.id] = (blocks[0], blocks[1])
        elif (block := blocks[0] or blocks[1]) and (splice := next((end for end in (wire.from_, wire.to) if end in copper), None)):
            spliced.setdefault(copper[splice], []).append((wire.id, block))
    for members in spliced.values():
        hub = _hub(harness, Counter(block for _, block in members))
        found.update({wire: (block, hub) for wire, block in members})
    return {wire: found[wire] for wire in harness.wires if wire in found and found[wire][0] != found[wire][1]}


def _spliced_copper(harness: Harness) -> dict[str, str]:
    """Splice -> the first splice of its copper: splices that wires tie are one."""
    first = {splice: splice for splice in harness.splices}

    def root(splice: str) -> str:
        while first[splice] != splice:
            splice = first[splice]
        return splice

    for wire in harness.wires.values():
        if wire.from_ in first and wire.to in first:
            first[root(wire.to)] = root(wire.from_)
    return {splice: root(splice) for splice in first}


def _hub(harness: Harness, counts: Counter[str]) -> str:
    ground = next((block for block in counts if block in harness.grounds), None)
    return ground or next((block for block in counts if block in harness.boxes), None) or max(counts, key=lambda block: counts[block])


def _folded(harness: Harness, owners: _Owners, ends: Mapping[str, tuple[str, str]], fold: Fold) -> Overview:
    grounded = {} if fold in ("same", "alike") else {wire: pair for wire, pair in ends.items() if (pair[0] in harness.grounds) != (pair[1] in harness.grounds)}
    # a ground stands for itself where a wire to it is not told in the block from which it comes
    shown = {id for wire, pair in ends.items() for id in pair if wire not in grounded or id not in harness.grounds}
    order = [id for id in (*harness.boxes, *harness.devices, *harness.connectors, *harness.parts, *harness.grounds) if id in shown]
    alike: dict[_Key, list[str]] = {}
    keys = _keys(harness, owners, ends, order, fold)
    for id in order:
        alike.setdefault(keys[id], []).append(id)
    blocks = {block.id: block for block in _blocks(owners, alike)}
    of = {member: block.id for block in blocks.values() for member in ((block.id,) if block.kind == "halves" else block.members)}
    links: dict[tuple[str, str], list[str]] = {}
    within: dict[str, list[str]] = {}
    for wire, (a, b) in ends.items():
        if wire in grounded:
            continue
        pair = (of[a], of[b]) if blocks[of[b]].kind == "ground" else (of[b], of[a]) if blocks[of[a]].kind == "ground" else _in_order(of[a], of[b], blocks)
        (within.setdefault(pair[0], []) if pair[0] == pair[1] else links.setdefault(pair, [])).append(wire)
    told: dict[str, dict[str, str]] = {}
    for wire, (a, b) in grounded.items():
        thing, ground = (b, a) if a in harness.grounds else (a, b)
        told.setdefault(of[thing], {})[wire] = ground
    for id, block in blocks.items():
        at = told.get(id, {})
        grounds = tuple(ground for ground in harness.grounds if ground in at.values())
        blocks[id] = replace(block, within=tuple(within.get(id, ())), grounds=grounds, grounded=tuple(at))
    return Overview(blocks, tuple(Link(upper, lower, tuple(wires)) for (upper, lower), wires in links.items()))


_Key = tuple[Kind, str, tuple[str, ...]]
"""Things with the same key are one block: kind, system, and the neighbours (with place and systems where little is folded) or the thing itself."""


def _keys(harness: Harness, owners: _Owners, ends: Mapping[str, tuple[str, str]], order: Iterable[str], fold: Fold) -> dict[str, _Key]:
    near: dict[str, set[str]] = {}
    systems: dict[str, Counter[str]] = {}
    every: dict[str, set[str]] = {}
    for wire, pair in ends.items():
        for id, other in (pair, pair[::-1]):
            near.setdefault(id, set()).add(other)
            every.setdefault(id, set()).add(_system(harness, wire))
            if other not in harness.grounds:
                systems.setdefault(id, Counter())[_system(harness, wire)] += 1
    keys: dict[str, _Key] = {}
    for id in order:
        kind, counts = owners.kind(id), systems.get(id, Counter())
        # what hangs at one thing alone and at grounds; boxes and mated halves stand for themselves, and what is large
        neighbours = tuple(sorted(other for other in near[id] if other not in harness.grounds or kind == "ground"))
        system = ""
        if fold == "systems" and kind in ("device", "connector", "part") and counts.total() <= LARGE:
            # what has no system of its own goes with what it is tied to
            counts = counts if any(counts) else sum((systems[other] for other in near[id] if other in systems and owners.kind(other) not in ("box", "halves", "ground")), Counter())
            system = max(counts, key=lambda one: (one != "", counts[one]), default="")
        if system:
            keys[id] = ("system", system, ())
        elif kind == "ground" and fold in ("grounded", "systems"):
            # such a ground is tied to grounds alone: all others are told in the blocks from which their wires come
            keys[id] = (kind, "", ())
        elif fold == "same" and kind in ("device", "connector", "part", "ground"):
            keys[id] = (kind, "", (*sorted(near[id]), "", harness.seat(id) or "", *sorted(every[id])))
        else:
            keys[id] = (kind, "", neighbours if kind in ("device", "connector", "part", "ground") else (id,))
    return keys


def _system(harness: Harness, wire: str) -> str:
    circuit = harness.circuits.get(harness.wires[wire].circuit)
    return circuit.system if circuit else ""


def _blocks(owners: _Owners, alike: Mapping[_Key, Sequence[str]]) -> Iterator[Block]:
    for (kind, system, _), ids in alike.items():
        most = MOST_OF_SYSTEM if system else MOST
        for number, start in enumerate(range(0, len(ids), most), start=1):
            members = tuple(ids[start:start + most])
            if len(members) == 1 == number and kind == "system":
                yield Block(members[0], owners.kind(members[0]), members)
            else:
                yield Block(members[0], kind, owners.halves[members[0]] if kind == "halves" else members, system if number == 1 else f"{system} ({number})" if system else "")


def _in_order(a: str, b: str, blocks: Mapping[str, Block]) -> tuple[str, str]:
    """The same pair whichever end of a wire is named first."""
    order = list(blocks)
    return (a, b) if order.index(a) < order.index(b) else (b, a)
