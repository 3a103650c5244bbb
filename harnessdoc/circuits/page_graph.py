"""The graph of one page: a figure for everything at the ends of its strands, and the strands between them as wires.

Takes Strands, Directions, the ids of the strands that are on the page, and what is printed; gives a PageGraph for
``diagram.place``. A contact where several strands end has a bar before it. A unit, relay or switch that the
strands would lead through in a circle is shown in parts: what is fed from above, and what it feeds below. Where a circle
leads through one part, as from a switch back into it, the contact that it comes in by stands below, with a bar under it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from ..diagram.graph import End, Graph, Node, Port, Wire
from ..model.harness import OPEN, Kind
from .device_figures import device_figure, turn_of
from .direction import Directions
from .figure import TEXT, Figure, lines_of
from .joints import bar, ground, loose_end
from .part_figures import in_line_figure, part_figure
from .printed import Printed
from .strands import Strands
from .stubs import Cut, stub
from .twisted import Mark, mark_figure, pitch_of

HEAVY_MM2 = 6.0
HEAVY, PLAIN = 0.7, 0.5
"""Widths of conductors: from HEAVY_MM2 on, and below; where the size is not known the plain one."""


@dataclass(frozen=True, slots=True)
class PageGraph:
    """graph: to be placed; figures: node -> what is drawn there; strands: those of the page."""

    graph: Graph
    figures: Mapping[str, Figure]
    strands: tuple[str, ...]


def page_graph(strands: Strands, directions: Directions, ids: Iterable[str], printed: Printed, height: float | None = None, *, parts_apart: bool = False, cut: Cut = Cut()) -> PageGraph:
    """height: of the page in mm; where a way down is longer, the units on it are shown in parts, too, and where ``parts_apart`` relays and switches. What is still too long does not fit.
    cut: where the page ends at contacts of things that it does not show."""
    builder = _Builder(strands, directions, tuple(ids), printed, cut)
    split: set[str] = set()
    while True:
        builder.build(split)
        circle = _circle(builder.wires.values())
        if not circle:
            path, tall = longest_way({name: figure.node.height for name, figure in builder.figures.items()}, builder.wires.values())
            owner = builder.to_part(path, split, parts_apart) if height is not None and tall > height else None
            if owner is not None:
                split.add(owner)
                continue
            if height is not None and tall > height and builder.marks:
                builder.marks = False
                continue
            break
        owners = [owner for node in circle if (owner := builder.splits.get(node)) is not None and owner not in split]
        if not owners:
            builder.hung.add(builder.way_in(circle))
            continue
        split.add(min(owners, key=lambda owner: (has_columns(strands, owner), owners.index(owner))))
    builder.loosen_ties()
    return PageGraph(Graph({name: figure.node for name, figure in builder.figures.items()}, builder.wires, text_height=TEXT), builder.figures, builder.ids)


class _Builder:
    def __init__(self, strands: Strands, directions: Directions, ids: tuple[str, ...], printed: Printed, cut: Cut) -> None:
        self.strands, self.directions, self.ids, self.printed, self.cut = strands, directions, ids, printed, cut
        self.harness = strands.harness
        self.on_page = frozenset(ids)
        self.marks = True
        self.hung: set[str] = set()
        self.order = {address: number for number, address in enumerate(self.harness.contacts)}
        self.at: dict[str, list[tuple[str, bool]]] = {}
        for id in ids:
            upper, lower = directions.ends(strands.all[id])
            self.at.setdefault(upper, []).append((id, True))
            self.at.setdefault(lower, []).append((id, False))

    def build(self, split: set[str]) -> None:
        self.figures: dict[str, Figure] = {}
        self.wires: dict[str, Wire] = {}
        self.splits: dict[str, str] = {}
        self._ends: dict[tuple[str, str], End] = {}
        sides: dict[str, dict[str, str]] = {}
        for address in sorted(self.at, key=lambda address: (self.order.get(address, len(self.order)), address)):
            kind = self.strands.kind(address)
            if kind in (Kind.SPLICE, Kind.BAR):
                self._bar(address)
            elif kind is Kind.GROUND:
                self._grounds(address)
            elif kind is None:
                self._loose(address)
            elif address in self.cut.stubs:
                sides.setdefault(f"stub:{self.cut.stubs[address]}", {})[address] = self._side(address)
            elif address in self.strands.mate:
                sides.setdefault(f"mate:{min(address, self.strands.mate[address])}", {})[address] = self._side(address)
            else:
                owner = self.strands.owner(address)
                side = self._side(address)
                sides.setdefault(f"{owner}#{piece_of(self.strands, address, side)}" if owner in split else owner, {})[address] = side
        for node, ports in sides.items():
            self._figure(node, ports)
        for id in self.ids:
            self._wire(id)
        for mark in self._marks() if self.marks else ():
            if not self._put_mark(mark) and mark.goes_on:
                self._put_mark(replace(mark, drain="", goes_on=False))

    def to_part(self, path: list[str], split: set[str], parts_apart: bool) -> str | None:
        """The thing on a way down that is best shown in parts: a unit, else what has several coils or contacts; None where there is none that the way runs through."""
        through = []
        for name in path[1:-1]:
            owner = self.splits.get(name)
            if owner is None or owner in split or (has_columns(self.strands, owner) and not parts_apart):
                continue
            pieces = {piece_of(self.strands, port.name, port.side) for port in self.figures[name].node.ports if port.name in self.at}
            if len(pieces) > 1 and not self._is_one_way(name, path):
                through.append(owner)
        return min(through, key=lambda owner: (has_columns(self.strands, owner), -len(self.strands.of_owner[owner]), through.index(owner))) if through else None

    def _is_one_way(self, name: str, path: list[str]) -> bool:
        """Whether the way enters and leaves a thing by contacts that stay together when it is shown in parts."""
        place = path.index(name)
        enters = [wire.lower.port for wire in self.wires.values() if wire.lower.node == name and wire.upper.node == path[place - 1]]
        leaves = [wire.upper.port for wire in self.wires.values() if wire.upper.node == name and wire.lower.node == path[place + 1]]
        pieces = [{piece_of(self.strands, port, side) for port in ports} for ports, side in ((enters, "top"), (leaves, "bottom"))]
        return bool(pieces[0] & pieces[1])

    def way_in(self, circle: list[str]) -> str:
        """The contact of a thing by which a circle comes in: where there is one that something within the thing leads down to."""
        found = [wire.lower.port for before, node in zip([circle[-1], *circle], circle, strict=False) for wire in self.wires.values()
                 if (wire.upper.node, wire.lower.node) == (before, node) and wire.lower.port in self.at]
        return next((address for address in found if self._is_below(address)), found[0])

    def loosen_ties(self) -> None:
        """Keeps those cavities of a connector on one level that can stand there: no strand leads from one to another, however far round."""
        leader = {name: name for name in self.figures}
        teams: dict[str, list[str]] = {}
        for name, figure in self.figures.items():
            tie = figure.node.tie
            if not tie:
                continue
            for number in range(len(self.figures)):
                team = f"{tie} {number}" if number else tie
                lead = teams.get(team, [name])[0]
                tried = {**leader, name: lead}
                if not _circle([replace(wire, upper=End(tried[wire.upper.node]), lower=End(tried[wire.lower.node])) for wire in self.wires.values()]):
                    leader = tried
                    teams.setdefault(team, []).append(name)
                    self.figures[name] = replace(figure, node=replace(figure.node, tie=team))
                    break

    # ---------------------------------------------------------------- joints

    def _bar(self, address: str) -> None:
        node = f"joint:{address}"
        ends = self.at[address]
        is_feed = all(upper for _, upper in ends) and address not in self.strands.returns and self._is_fed(address)
        splice = self.harness.splices.get(address)
        note = self.printed.note(address)
        words = [splice.join if splice is not None and splice.join != address else "", note]
        if is_feed or self._after_key(address) or (note and self.printed.tells_hot and address not in self.strands.returns and self._is_fed(address)):
            words.insert(0, self.printed.hot(address))
        number = address
        self.figures[node] = bar(node, number, ", ".join(filter(None, words)), PLAIN if self._size(address) < HEAVY_MM2 else HEAVY, is_feed=is_feed, turn=turn_of(address))
        for id, _ in ends:
            self._ends[id, address] = End(node)

    def _is_fed(self, address: str) -> bool:
        volts = self.directions.volts.get(address)
        return volts is not None and volts > 0

    def _after_key(self, address: str) -> bool:
        key = self.harness.key_switch
        above = [self.directions.ends(self.strands.all[id])[0] for id, upper in self.at[address] if not upper]
        return key is not None and any(self.strands.owner(end) == key for end in above)

    def _size(self, address: str) -> float:
        return max((wire.size.area_mm2 for id, _ in self.at[address] if (wire := self.strands.all[id].wire) is not None and wire.size), default=0.0)

    def _grounds(self, address: str) -> None:
        of = self.harness.grounds[address]
        title = "" if of.title == address else of.title
        point = self.harness.points.get(of.place or "")
        place = title or (point.title if point else of.place) or ""
        where = self.printed.where(address)
        lines = [*lines_of(place, 20.0, 4 if self.cut.joins_grounds else 3), *(line for said in self.printed.also(address) for line in lines_of(said, 20.0)), *(lines_of(f"({where})", 20.0) if where else [])]
        if self.cut.joins_grounds and (len(self.at[address]) > 1 or self.at[address][0][1]):
            node, stud, width = f"ground:{address}", f"stud:{address}", PLAIN if self._size(address) < HEAVY_MM2 else HEAVY
            self.figures[node] = ground(node, address, lines, turn_of(address))
            self.figures[stud] = bar(stud, "", "", width, is_feed=False)
            self.wires[stud] = Wire(stud, End(stud), End(node, "1"), width=width, weight=4.0)
            for id, _ in self.at[address]:
                self._ends[id, address] = End(stud)
            return
        for id, is_upper in self.at[address]:
            if is_upper:       # a strap between grounds: the upper one is a point with a name
                node = f"joint:{address}"
                if node not in self.figures:
                    self.figures[node] = bar(node, address, place, PLAIN, is_feed=False, turn=turn_of(address))
                self._ends[id, address] = End(node)
            else:
                node = f"ground:{address}:{id}"
                self.figures[node] = ground(node, address, lines, turn_of(address))
                self._ends[id, address] = End(node, "1")

    def _loose(self, address: str) -> None:
        (id, is_upper), = self.at[address]
        wire = self.strands.all[id].wire
        assert wire is not None
        end = wire.from_ if address.endswith(" A") else wire.to
        node = f"end:{address}"
        words = "left open" if end == OPEN else "far end not known"
        self.figures[node] = loose_end(node, "bottom" if is_upper else "top", words)
        self._ends[id, address] = End(node, "1")

    # --------------------------------------------------------------- figures

    def _side(self, address: str) -> str:
        """Where the port of a contact is: above where anything comes from there; but what also gives, and is the lower end of a load, is below."""
        if address in self.hung or all(upper for _, upper in self.at[address]):
            return "bottom"
        return "bottom" if any(upper for _, upper in self.at[address]) and self._is_below(address) else "top"

    def _is_below(self, address: str) -> bool:
        """Whether something within its thing leads down to a contact."""
        return any(self.directions.is_above(other, address) for way in self.strands.inside.get(address, ()) for other in (way.a, way.b))

    def _figure(self, node: str, ports: dict[str, str]) -> None:
        name = f"node:{node}"
        if node.startswith("stub:"):
            figure = stub(self.strands, self.printed, name, ports)
        elif node.startswith("mate:"):
            figure = in_line_figure(self.strands, self.directions, self.printed, name, node.removeprefix("mate:"), ports)
        else:
            owner = self.strands.owner(next(iter(ports)))
            is_part = owner != node or any(id not in self.on_page for address in self.strands.of_owner[owner] for id in self.strands.at[address])
            if owner in self.harness.parts:
                figure = part_figure(self.strands, self.directions, self.printed, name, self.harness.parts[owner], ports, is_part)
            else:
                figure = device_figure(self.strands, self.directions, self.printed, name, owner, ports, is_part)
            self.splits[name] = owner
        self.figures[name] = figure
        for address, side in ports.items():
            ends = self.at[address]
            if len(ends) == 1 and ends[0][1] == (side == "bottom"):
                self._ends[ends[0][0], address] = End(name, address)
                continue
            stud = f"stud:{address}"
            self.figures[stud] = bar(stud, "", "", PLAIN if self._size(address) < HEAVY_MM2 else HEAVY, is_feed=False)
            upper, lower = (End(stud), End(name, address)) if side == "top" else (End(name, address), End(stud))
            self.wires[stud] = Wire(stud, upper, lower, width=PLAIN if self._size(address) < HEAVY_MM2 else HEAVY, weight=4.0)
            for id, _ in ends:
                self._ends[id, address] = End(stud)

    # -------------------------------------------------------- twist and shield

    def _marks(self) -> Iterator[Mark]:
        """Pairs and shielded cables all of whose wires are on the page."""
        for pair in self.harness.pairs.values():
            if len(pair.wires) > 1 and all(wire in self.wires for wire in pair.wires):
                yield Mark(f"pair {pair.id}", pair.wires, False, words=pair.id)
        for cable in self.harness.cables.values():
            cores = tuple(wire for wire in cable.wires if self.harness.wires[wire].core != "drain")
            drains = [wire for wire in cable.wires if wire not in cores]
            if cores and cable.shield not in (None, "none") and all(wire in self.wires for wire in cores):
                ends_here = next((wire for wire in drains if wire in self.wires and self.wires[wire].lower.node.startswith("end:")), "")
                drain = ends_here or next((wire for wire in drains if wire in self.wires), "")
                yield Mark(f"cable {cable.id}", cores, True, drain, goes_on=drain != ends_here, words=f"{cable.id} shield")

    def _ports(self, wires: Iterable[str], side: str) -> list[tuple[Node, Port]]:
        """Where these wires end above or below, those at a bar left out."""
        found = []
        for wire in filter(None, wires):
            end: End = getattr(self.wires[wire], side)
            node = self.figures[end.node].node
            found += [(node, port) for port in node.ports if port.name == end.port]
        return found

    def _put_mark(self, mark: Mark) -> bool:
        """Cuts the wires at the mark, unless that leads in a circle; a drain that is open below ends at the shield."""
        pitch = max(pitch_of(self._ports(wires, side)) for wires, side in (((*mark.wires, mark.drain), "upper"), (mark.through, "lower")))
        figure = mark_figure(mark, [self.wires[wire].width for wire in mark.through], pitch)
        name = figure.node.id
        wires = dict(self.wires)
        for wire in mark.through:
            lower = wires[wire].lower
            wires[wire] = replace(wires[wire], lower=End(name, f"in {wire}"))
            wires[f"{wire} below {name}"] = replace(wires[wire], id=f"{wire} below {name}", upper=End(name, f"out {wire}"), lower=lower, label=())
        end = wires[mark.drain].lower.node if mark.drain and not mark.goes_on else ""
        if end:
            wires[mark.drain] = replace(wires[mark.drain], lower=End(name, "drain"))
        if _circle(wires.values()):
            return False
        self.wires = wires
        self.figures[name] = figure
        if end:
            del self.figures[end]
        return True

    # ----------------------------------------------------------------- wires

    def _wire(self, id: str) -> None:
        strand = self.strands.all[id]
        upper, lower = self.directions.ends(strand)
        wire = strand.wire
        width = HEAVY if (wire is not None and wire.size is not None and wire.size.area_mm2 >= HEAVY_MM2) or (wire is None and self._size(upper) >= HEAVY_MM2) else PLAIN
        weight = 0.3 if self.strands.kind(lower) is Kind.GROUND else 1.0 if wire is not None else 3.0
        self.wires[id] = Wire(id, self._ends[id, upper], self._ends[id, lower], self.printed.label(wire) if wire is not None else (), width, weight)


BETWEEN = 4.5
"""Height in mm that a wire with one line of label takes between two things, at least."""


def longest_way(heights: Mapping[str, float], wires: Iterable[Wire]) -> tuple[list[str], float]:
    """The tallest way from a node down, and its height in mm; the wires run in no circle."""
    below: dict[str, list[str]] = {}
    for wire in wires:
        below.setdefault(wire.upper.node, []).append(wire.lower.node)
    known: dict[str, tuple[float, str]] = {}

    def tall(name: str) -> float:
        if name not in known:
            best = max(((tall(other) + BETWEEN, other) for other in below.get(name, ())), default=(0.0, ""), key=lambda found: found[0])
            known[name] = heights[name] + best[0], best[1]
        return known[name][0]

    if not heights:
        return [], 0.0
    first = max(heights, key=tall)
    path = [first]
    while known[path[-1]][1]:
        path.append(known[path[-1]][1])
    return path, known[first][0]


def has_columns(strands: Strands, owner: str) -> bool:
    """Whether all of a thing's wired contacts are ends of loads, coils or contacts within it."""
    return owner in strands.harness.parts or all(strands.inside.get(address) for address in strands.of_owner[owner])


def piece_of(strands: Strands, address: str, side: str) -> str:
    """To which piece of a thing in parts a contact belongs: the contacts that are joined within it by loads, coils or switches; where nothing is said of its inside, its side."""
    if not strands.inside.get(address):
        return side
    found = [address]
    for one in found:
        found += [end for way in strands.inside.get(one, ()) for end in (way.a, way.b) if end not in found]
    return min(found)


def _circle(wires: Iterable[Wire]) -> list[str]:
    """Nodes on a circle, in the order in which they are on it; [] where there is none."""
    below: dict[str, list[str]] = {}
    for wire in wires:
        below.setdefault(wire.upper.node, []).append(wire.lower.node)
    state: dict[str, int] = {}
    for start in below:
        if state.get(start):
            continue
        path, iters = [start], [iter(below[start])]
        state[start] = 1
        while path:
            step = next(iters[-1], None)
            if step is None:
                state[path.pop()] = 2
                iters.pop()
            elif state.get(step) == 1:
                return path[path.index(step):]
            elif step not in state:
                state[step] = 1
                path.append(step)
                iters.append(iter(below.get(step, ())))
    return []
