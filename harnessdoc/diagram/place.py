"""The one way from a Graph to a Placed diagram.

Takes a Graph and the size of the area in mm; gives where everything stands. Levels, then several orders of the rows,
then for the most promising ones the places across and down; what is too tall is helped by
standing things apart that push each other down. The first order whose page fits well is taken,
else that which lacks least.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from .across import Across, Ref, Wish, across
from .channels import Channel, Track, channels
from .down import Slot, Stack, stack
from .finish import assemble
from .fold_rows import held_line, with_line
from .frame import Frame, check, frame
from .heights import heights
from .gaps import BOX_BOX, EVEN, LINE_LINE, LONG_LINE, MERGE
from .graph import Graph
from .label_places import choose
from .label_shapes import ShapeOf, shapes
from .levels import FIRM, levels, roomy_levels, row_widths
from .order import from_before, orders, turned
from .placed import Order, Placed
from .relabel import relabel
from .sorter import Rows, Sorter

STARTS = 8
HELP_ROUNDS = 30
MOST_ASKED = 8
AIR = 7.0
MERGE_FROM = MERGE + 4.0
"""Grounds no further apart than this are tried to share a symbol: their boxes kept them apart."""
GLANCES = 8
FAR_TOO_WIDE = 40.0
"""Where the widest row lacks so much, in mm, no order is sought to see whether a page fits."""
CROWD = 0.1
LESS_ROOM = (0.85, 0.7, 0.55)
"""Where the parts left and right of a held line find no room by the estimate, it is put in as if the page were so much narrower."""
SCREENED = 8
HELPED = 4
CROSSED, STEPPED, LACK = 8.0, 4.0, 0.3
"""What an order's crossings, its steps, and a mm that it lacks count for when orders are chosen."""
STRAIGHTENED = 60
"""Steps that are tried to be made straight."""
FEW = 2
"""A page that fits with so many steps is good enough."""
ENOUGH, ENOUGH_LACKING = 160, 80
"""After so many pages no other order is begun: where one fits, where none does."""
HOPELESS = 60.0
"""A page that lacks so much when helped will not fit in another order."""
WORSE = 3.0
"""The order of the picture before is kept unless another has so many crossings (or as much in disorder) less."""


@dataclass(frozen=True, slots=True)
class Page:
    """One arrangement with all that follows from it. lacks: mm too wide, mm too tall; wrong: labels too near to other lines; clashes: uprights on each other."""

    rows: Rows
    at: Across
    channels: tuple[Channel, ...]
    labels: tuple[Slot, ...]
    stack: Stack
    long: frozenset[int]
    lacks: tuple[float, float]
    wrong: int
    clashes: int
    crowd: int
    y: tuple[float, ...] = ()

    @property
    def steps(self) -> float:
        """How many steps wires take, short ones counted twice: they look like slips of the pen."""
        return sum(1 + (abs(track.x1 - track.x2) < LINE_LINE - EVEN) for channel in self.channels for track in channel.tracks)

    @property
    def bad(self) -> float:
        """In mm of height, 0 where the page fits; ``crowd``, the things that stand on too long paths, tells which way leads out."""
        return 3 * self.lacks[0] + self.lacks[1] + 30 * self.wrong + 100 * self.clashes + CROWD * self.crowd


class Maker:
    """What stays the same for all arrangements of one page."""

    def __init__(self, of: Frame, width: float, height: float) -> None:
        self.frame = of
        self.width = width
        self.height = height
        self.above = _ancestors(of)
        self.line = held_line(of)
        self.made = 0
        self.shapes: list[tuple[ShapeOf, ...]] = [shapes(wire.label, of.graph.text_height) for wire in of.wires]
        self.rooms = [self._rooms(of_wire) for of_wire in self.shapes]

    def _rooms(self, of_wire: Sequence[ShapeOf]) -> tuple[float, float, float]:
        """How wide a label is in two lines, in one, and with air beside it; 0 where it has none."""
        two, one = (next((shape.w for shape in of_wire if not shape.upright and len(shape.lines) == count), 0.0) for count in (2, 1))
        return two, one, one + AIR if one else 0.0

    def page(self, rows: Rows, wish: Wish, *, rounds: int = 4, long: frozenset[int] = frozenset()) -> Page | None:
        """The page of this order; None where the wishes contradict each other."""
        self.made += 1
        at = across(self.frame, rows := self._with_line(rows, 1.0), self.width, self.rooms, wish, rounds=rounds)
        for share in LESS_ROOM if self.line and at.over > 0 else ():
            other = self._with_line(rows, share)
            then = across(self.frame, other, self.width, self.rooms, wish, rounds=rounds)
            if then.over < at.over:
                at, rows = then, other
            if at.over <= 0:
                break
        if at.over == float("inf"):
            return None
        ways = channels(self.frame, at.x)
        slots, asked, wrong = choose(self.frame, at, ways, self.shapes, self.width, long)
        slots, piled = relabel(slots, asked, lambda labels: stack(self.frame, at, ways, labels, wish.shared, tight=wish.tight), self.height)
        y, _ = piled.earliest()
        total, _ = piled.total(y)
        crowd = sum(early + rest > self.height for early, rest in zip(y, piled.latest(), strict=True)) if total > self.height else 0
        return Page(rows, at, ways, tuple(slots), piled, long, (at.over, max(0.0, total - self.height)), wrong, sum(len(way.clashes) for way in ways), crowd)

    def _with_line(self, rows: Rows, share: float) -> Rows:
        """The rows with a held line put in as if only this share of the width were there; as they are where there is none."""
        return with_line(self.frame, rows, self.line, share * self.width) if self.line else rows

    def best(self, starts: int, start: Order | None) -> Page | None:
        """The first of the most promising orders whose page fits, else the page that lacks least; the picture before comes first where it is not clearly worse."""
        found = orders(self.frame, starts)
        best: tuple[float, float, Page, Wish] | None = None
        tries = self.screened(found)[:HELPED]
        for score, rows in self._near(start, tries, found[0][0] + WORSE) if start is not None else ():
            page, wish = self.helped(rows)
            if page is not None and page.bad <= 0:
                return self._ended(*self._straightened(page, wish))
            if page is not None:
                this = page.bad, CROSSED * score + STEPPED * page.steps, page, wish
                best = this if best is None or this[:2] < best[:2] else best
        for score, rows in tries:
            page, wish = self.helped(rows)
            if page is not None:
                this = max(0.0, page.bad), CROSSED * score + STEPPED * page.steps, page, wish
                best = this if best is None or this[:2] < best[:2] else best
            if best is not None and (best[0] <= 0 and best[2].steps <= FEW or best[0] > HOPELESS or self.made > (ENOUGH if best[0] <= 0 else ENOUGH_LACKING)):
                break
        return self._ended(*self._straightened(*best[2:])) if best is not None else None

    def _near(self, start: Order, tries: Sequence[tuple[float, Rows]], most: float) -> list[tuple[float, Rows]]:
        """The orders near the picture before, then those found anew, the fewest things turned round first, with scores up to ``most``. That of the picture before
        alone where it is found anew, too: of the very same things the picture is the same."""
        near = from_before(self.frame, start)
        again = [pair for pair in tries if pair[1] == near[0][1]]
        return again or [pair for pair in (*near, *sorted(tries, key=lambda pair: turned(self.frame, start, pair[1]))) if pair[0] <= most]

    def screened(self, found: Sequence[tuple[float, Rows]]) -> list[tuple[float, Rows]]:
        """The best orders and their mirror images with their scores, those first that look like fitting with few steps."""
        told: dict[Rows, tuple[float, float]] = {}
        for score, rows in found[:SCREENED]:
            for either in (rows, self._mirrored(rows)):
                page = self.page(either, Wish(), rounds=2) if either not in told else None
                if page is not None:
                    told[either] = CROSSED * score + STEPPED * page.steps + LACK * (page.lacks[1] + 3 * page.lacks[0]), score
        return [(score, rows) for rows, (_, score) in sorted(told.items(), key=lambda pair: pair[1][0])]

    def _mirrored(self, rows: Rows) -> Rows:
        """The order seen in a mirror; boxes that may not be mirrored stay, and their neighbours are sifted."""
        sorter = Sorter(self.frame)
        flipped = [item < len(self.frame.nodes) and self.frame.nodes[item].mirror and not was for item, was in enumerate(rows.mirrored)]
        sorter.take([row[::-1] for row in rows.rows], flipped)
        sorter.settle()
        return sorter.give()

    def helped(self, rows: Rows) -> tuple[Page | None, Wish]:
        """The page of this order, with clashes and what makes it too tall moved apart, and what that took; no heights yet."""
        wish = Wish()
        page = self.page(rows, wish)
        if page is None:
            return None, wish
        tried: set[tuple[int, ...]] = set()
        for _ in range(HELP_ROUNDS):
            better = None
            if page.clashes:
                better = self._unclash(page, wish)
            elif page.lacks[1] > 0:
                better = self._unstack(page, wish, tried)
            if better is None:
                if page.lacks[1] <= 0 or wish.tight:
                    break
                wish = replace(wish, tight=True)
                tried.clear()
                page = self.page(rows, wish) or page
                continue
            page, wish = better
        return self._unjogged(*self._shared(page, wish))

    def glance(self) -> Page | None:
        """A page of the best of few orders, with little help: what it still lacks may yet be found."""
        page = self.page(orders(self.frame, 2)[0][1], Wish(tight=True), rounds=2)
        if page is None:
            return None
        wish, tried = Wish(tight=True), set[tuple[int, ...]]()
        while page.lacks[1] > 0 and self.made < GLANCES:
            better = self._unstack(page, wish, tried)
            if better is None:
                break
            page, wish = better
        return replace(page, y=tuple(page.stack.earliest()[0]))

    def _unjogged(self, page: Page, wish: Wish) -> tuple[Page, Wish]:
        """Steps too short to be meant are made straight, or else clear ones."""
        tried: set[tuple[int, int]] = set()
        for _ in range(MOST_ASKED):
            jogs = sorted((abs(track.x1 - track.x2), track.upper, track.lower, track.x1 < track.x2) for channel in page.channels for track in channel.tracks
                          if abs(track.x1 - track.x2) < LINE_LINE - EVEN and (track.upper, track.lower) not in tried)
            if not jogs:
                break
            _, upper, lower, right = jogs[0]
            tried.add((upper, lower))
            ends: tuple[Ref, Ref] = (("point", upper, 0.0), ("point", lower, 0.0))
            first, second = ends if right else ends[::-1]
            for asked in (replace(wish, even=(*wish.even, (upper, lower))), replace(wish, apart=(*wish.apart, (first, second, LINE_LINE))),
                          replace(wish, apart=(*wish.apart, (second, first, LINE_LINE)))):
                then = self.page(page.rows, asked)
                if then is not None and then.bad <= page.bad and then.steps <= page.steps:
                    page, wish = then, asked
                    break
        return page, wish

    def _straightened(self, page: Page, wish: Wish) -> tuple[Page, Wish]:
        """Whatever can be made straight without another step elsewhere, the shortest steps first: as asked for, or with a box turned that stands at its end or beside that."""
        tried: set[tuple[int, ...]] = set()
        while page.bad <= 0 and len(tried) < STRAIGHTENED:
            asks = ((name, rows, asked) for _, upper, lower in sorted((abs(track.x1 - track.x2), track.upper, track.lower) for channel in page.channels for track in channel.tracks)
                    for name, rows, asked in self._straight_ways(page, wish, upper, lower) if name not in tried)
            ask = next(asks, None)
            if ask is None:
                break
            name, rows, asked = ask
            tried.add(name)
            then = self.page(rows, asked)
            if then is not None and then.bad <= page.bad and then.steps < page.steps:
                page, wish = then, asked
        return page, wish

    def _straight_ways(self, page: Page, wish: Wish, upper: int, lower: int) -> Iterator[tuple[tuple[int, ...], Rows, Wish]]:
        """What may make the step between two points straight, each with a name of its own."""
        yield (upper, lower), page.rows, replace(wish, even=(*wish.even, (upper, lower)))
        for end in (upper, lower):
            item = self.frame.points[end].item
            row = page.rows.rows[self.frame.level[item]]
            at = row.index(item)
            for near in (item, *row[max(0, at - 1):at], *row[at + 1:at + 2]):
                node = self.frame.node_of(near)
                if node is not None and node.mirror:
                    mirrored = tuple(was != (number == near) for number, was in enumerate(page.rows.mirrored))
                    yield (near,), replace(page.rows, mirrored=mirrored), wish

    def _shared(self, page: Page, wish: Wish) -> tuple[Page, Wish]:
        """Grounds of one number that stand side by side share a symbol."""
        pairs = []
        for row in page.rows.rows:
            for one, other in zip(row, row[1:], strict=False):
                a, b = self.frame.node_of(one), self.frame.node_of(other)
                if a is None or b is None or not a.merge or a.merge != b.merge:
                    continue
                (first,), (second,) = self.frame.points_at[one], self.frame.points_at[other]
                if page.at.x[second] - page.at.x[first] <= MERGE_FROM:
                    pairs.append((one, other))
        if pairs:
            asked = replace(wish, shared=tuple(pairs))
            merged = self.page(page.rows, asked)
            if merged is not None and merged.bad <= page.bad and merged.steps <= page.steps:
                return merged, asked
        return page, wish

    def _ended(self, page: Page, wish: Wish) -> Page:
        """The page with its heights, and a label at both ends of long wires: these may make others longer."""
        for _ in range(4):
            y = heights(self.frame, page.stack, page.labels, self.height)
            long = page.long | self._long(page, y)
            if long == page.long:
                break
            page = self.page(page.rows, wish, long=long) or page
        else:
            # the labels of the last round have no heights yet
            y = heights(self.frame, page.stack, page.labels, self.height)
        return replace(page, y=tuple(y))

    def _long(self, page: Page, y: Sequence[float]) -> frozenset[int]:
        """Wires longer than LONG_LINE as the page stands."""
        found = []
        lead, x = page.stack.lead, page.at.x
        for wire, way in enumerate(self.frame.points_of):
            first, last = (lead[self.frame.points[point].item] for point in (way[0], way[-1]))
            run = sum(abs(x[a] - x[b]) for a, b in zip(way, way[1:], strict=False))
            if y[last] - y[first] - page.stack.height[first] + run > LONG_LINE - 0.01:
                found.append(wire)
        return frozenset(found)

    def _unclash(self, page: Page, wish: Wish) -> tuple[Page, Wish] | None:
        """Moves the uprights of two wires apart that lie on each other."""
        one, other = next(pair for channel in page.channels for pair in channel.clashes)
        best: tuple[Page, Wish] | None = None
        for a, b in ((one.lower, other.upper), (other.upper, one.lower), (other.lower, one.upper), (one.upper, other.lower)):
            asked = replace(wish, apart=(*wish.apart, (("point", a, 0.0), ("point", b, 0.0), LINE_LINE)))
            page_then = self.page(page.rows, asked)
            if page_then is not None and page_then.clashes < page.clashes and (best is None or page_then.bad < best[0].bad):
                best = (page_then, asked)
        return best

    def _unstack(self, page: Page, wish: Wish, tried: set[tuple[int, ...]]) -> tuple[Page, Wish] | None:
        """Stands two things of the longest path side by side that no wire ties, or makes a wire straight that steps between them."""
        _, path = page.stack.critical()
        things = [self._thing(page, owner) for owner in path]
        asks: list[tuple[float, tuple[int, ...], list[Wish]]] = []
        for one, other in zip(things, things[1:], strict=False):
            if self._tied(one, other) or (one.name, other.name) in tried:
                continue
            overlap = min(one.right, other.right) - max(one.left, other.left)
            sides = []
            for a, b in ((one, other), (other, one)):
                extra = tuple((ref, to, BOX_BOX) for ref in a.rights for to in b.lefts)
                sides.append(replace(wish, apart=(*wish.apart, *extra)))
            asks.append((overlap, (one.name, other.name), sides))
        for thing in things:
            if thing.track is not None and (thing.name,) not in tried:
                asks.append((abs(thing.track.x1 - thing.track.x2), (thing.name,), [replace(wish, even=(*wish.even, (thing.track.upper, thing.track.lower)))]))
        for _, name, wishes in sorted(asks, key=lambda ask: ask[0])[:MOST_ASKED]:
            tried.add(name)
            best: tuple[Page, Wish] | None = None
            for asked in wishes:
                page_then = self.page(page.rows, asked)
                if page_then is not None and page_then.bad < page.bad - 0.01 and (best is None or page_then.bad < best[0].bad):
                    best = (page_then, asked)
            if best is not None:
                return best
        return None

    def _thing(self, page: Page, owner: int) -> Thing:
        """An owner of the stack with its reach across the page."""
        at, piled, count = page.at, page.stack, self.frame.items
        if owner < count:
            return Thing(owner, at.left[owner], at.right[owner], (("left", owner, 0.0),), (("right", owner, 0.0),), frozenset((owner,)), -1, None)
        if piled.label_at and owner >= piled.label_at[0]:
            slot = page.labels[owner - piled.label_at[0]]
            way = self.frame.points_of[slot.wire]
            step = slot.channel - self.frame.level[self.frame.points[way[0]].item]
            point = min((way[step], way[step + 1]), key=lambda point: min(abs(at.x[point] - slot.x), abs(at.x[point] - slot.x - slot.w)))
            return Thing(owner, slot.x, slot.x + slot.w, (("point", point, slot.x - at.x[point]),), (("point", point, slot.x + slot.w - at.x[point]),),
                         self._ends(slot.wire), slot.wire, None)
        wire, row = next(key for key, value in piled.track_at.items() if value == owner)
        track = next(track for track in page.channels[row].tracks if track.wire == wire)
        both: tuple[Ref, ...] = (("point", track.upper, 0.0), ("point", track.lower, 0.0))
        return Thing(owner, track.left, track.right, both, both, self._ends(wire), wire, track)

    def _ends(self, wire: int) -> frozenset[int]:
        way = self.frame.points_of[wire]
        return frozenset((self.frame.points[way[0]].item, self.frame.points[way[-1]].item))

    def _tied(self, one: Thing, other: Thing) -> bool:
        """True where the two cannot stand side by side: the same wire's, or one above the other by wires."""
        if one.wire >= 0 or other.wire >= 0:
            return one.wire == other.wire or bool(one.nodes & other.nodes) and -1 in (one.wire, other.wire)
        return one.name in self.above[other.name]


@dataclass(frozen=True, slots=True)
class Thing:
    """Something of the stack. lefts, rights: all of these lie right, left of what it must be clear of; nodes: itself, or its wire's ends."""

    name: int
    left: float
    right: float
    lefts: tuple[Ref, ...]
    rights: tuple[Ref, ...]
    nodes: frozenset[int]
    wire: int
    track: Track | None


def _ancestors(of: Frame) -> list[frozenset[int]]:
    """For each node all nodes above it from which wires lead down to it."""
    found: list[frozenset[int]] = [frozenset() for _ in of.nodes]
    for item in sorted(range(len(of.nodes)), key=lambda item: of.level[item]):
        above: set[int] = set()
        for point in of.points_at[item]:
            wire = of.points[point].wire
            if of.points[point].above and wire >= 0:
                upper = of.points[of.points_of[wire][0]].item
                above |= {upper} | found[upper]
        found[item] = frozenset(above)
    return found


def place(graph: Graph, width_mm: float, height_mm: float, start: Order | None = None, *, starts: int = STARTS, quick: bool = False) -> Placed:
    """Where everything of the graph stands on ``width_mm`` by ``height_mm``.

    start: the order of the picture before; starts: how many other orders are tried; quick: an estimate of whether it fits.
    Where it does not fit, ``over_mm`` tells how far; the picture is whole all the same, but that of an estimate may be empty. Raises ValueError
    for a graph that cannot be drawn: an end that is not there or shared, wires in a circle.
    """
    check(graph)
    if not graph.nodes:
        return Placed({}, {}, (), {}, Order({}, {}), (0.0, 0.0), 0, 0)
    # of the very same things the picture is the one before, or that which is found without it
    before = start.levels if start and start.levels.keys() != graph.nodes.keys() else None
    plain = levels(graph, before)
    settled = [plain]
    if max(row_widths(graph, plain)) > width_mm:
        settled.insert(0, roomy_levels(graph, width_mm, before))
        lacks = max(row_widths(graph, settled[0])) - width_mm
        if quick and lacks > FAR_TOO_WIDE:
            return Placed({}, {}, (), {}, Order({}, {}), (lacks, 0.0), 0, 0)
    if not quick and any(node.held_mm is not None for node in graph.nodes.values()):
        # two halves hold less than a whole of their width: what of a row is too wide for them stands lower
        settled += [roomy_levels(graph, share * width_mm, before, bars=True) for share in LESS_ROOM]
    as_before = levels(graph, start.levels, stay=FIRM) if start and not quick else None
    if as_before is not None:
        settled = [as_before, *(found for found in settled if found != as_before)]
    best: tuple[Maker, Page] | None = None
    for found in settled:
        maker = Maker(frame(graph, found), width_mm, height_mm)
        page = maker.glance() if quick else maker.best(starts, start if before or found is as_before else None)
        if page is not None and (best is None or page.bad < best[1].bad):
            best = (maker, page)
        if best is not None and best[1].bad <= 0:
            break
    if best is None:
        raise AssertionError("a page without wishes always has an answer")
    return assemble(best[0].frame, best[1], best[0].shapes)
