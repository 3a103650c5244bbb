"""The pages of all circuit diagrams of a book: which strands, where everything stands, and where a thing continues.

Takes a Context; gives a CircuitBook, made once for it. A system is placed when its sheet, or one that it continues on, is
drawn. Where a thing goes on elsewhere it says the sheet and the field of its grid there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from ..circuits.figure import PITCH, TEXT
from ..circuits.direction import Directions, find_directions
from ..circuits.page_graph import PageGraph, page_graph
from ..circuits.kept_order import nearest
from ..circuits.pages import Fits, Group, Make, as_kept, fits_whole, split
from ..circuits.printed import Printed
from ..circuits.strands import Strands, find_strands
from ..circuits.stubs import Cut
from ..circuits.systems import Served, System, find_systems
from ..description.order_file import PageOrder
from ..diagram.kept import Kept
from ..diagram.place import STARTS
from ..diagram.placed import Placed
from ..drawing.lettering import cut, text_width, wrap
from ..drawing.page import zone_of
from ..drawing.record import Area
from ..model.harness import Harness, Kind
from ..network.islands import Network
from ..operation.words import listed
from .cautions import caution_lines
from .circuit_words import beside_block, change_row, flags_rule, hot_words, state_words
from .context import Context, SheetKind, SheetRef
from .facing import line_width, rows_of, set_lines
from .flow import free_area
from .layout_where import fields

AT_REST = "Switches and relays at rest, key off."
"""Not with readings: those are of a state in which others may be pulled in, and what is said of that state says how contacts are drawn."""
RULE = "Dot: joined; crossing without a dot: not. At a wire: number, mm² or AWG, colour. Broken edge: shown in part."
RULE_WHERE = "(12 C4): field of the layout."
ABOVE_FOOT = 2.4
SPARE = 1.0
"""A page may reach so far into what is free above its foot."""
MOST_SHARED = 2
"""Lines that say what else is fed."""
CAUTION_LINE = 4.0
ANY_SHEET, ANY_FIELD = "to sheet 88 p. 8, D4", max((f"{letter}{number}" for letter in "ABCD" for number in range(1, 7)), key=lambda field: text_width(field, TEXT))
"""While a page is parted and placed; no true one is wider."""
ANY_REST = "rest sheet 88 p. 8, D4 and sheet 88 p. 8, D4"
NEARLY, VERY_NEARLY = 42.0, 3.0
"""Where the estimate says that less than this is lacking, in mm, the page is placed to see: a whole system, a group of its strands."""
MARGIN = 4.0
"""What a page that does not fit is parted again by: so much smaller than it may be, as true notes are longer than those of the search."""
MORE_STARTS = 24
"""So many orders are tried of a page that was thought to fit and does not."""
FEW = 2
"""No more sheets than this are named at one place."""


Target = tuple[str, int]
"""A system and the number of its page, from 0."""
FieldOf = Callable[..., str]
"""(target, names of nodes) -> the field in which the first of these stands."""


def systems_of(harness: Harness, network: Network) -> tuple[System, ...]:
    """The systems that have a circuit diagram, in the order of the sheets."""
    if not harness.wires:
        return ()
    strands = find_strands(harness, network)
    return find_systems(strands, find_directions(strands))


@dataclass(frozen=True, slots=True)
class CircuitPage:
    """One page: its graph and where everything of that stands, from the top left of ``area``."""

    graph: PageGraph
    placed: Placed
    area: Area

    @property
    def lacks_mm(self) -> float:
        """How far it does not fit what is free, in mm, 0.0 where it fits: what lacks would be printed over the foot, beyond the frame or in the fold."""
        right, down = self.placed.over_mm
        return right + max(0.0, down - SPARE)


class CircuitBook:
    """All circuit diagrams of one Context."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.strands: Strands = find_strands(context.harness, context.network)
        self.directions: Directions = find_directions(self.strands)
        self.served = Served(self.strands, self.directions)
        self.systems = {system.name: system for system in find_systems(self.strands, self.directions)}
        self.refs: dict[str, SheetRef] = {ref.subjects[0]: ref for ref in context.sheets if ref.kind is SheetKind.CIRCUIT}
        self.cut = Cut()
        self._of: dict[str, frozenset[str]] = {}
        self._groups: dict[str, tuple[Group, ...]] = {}
        self._apart: dict[str, bool] = {}
        self._brief: set[Target] = set()
        self._hot_told = {self.served.supply}       # where every point that goes on elsewhere says when it is hot: where that does not part the page
        self._placed: dict[str, tuple[CircuitPage, ...]] = {}

    # -------------------------------------------------------------- page by page

    def area(self, system: str, ids: Sequence[str]) -> Area:
        """What is free for a page of these strands, between its cautions and what is said at its foot."""
        free = free_area(self.context.paper, "landscape")
        cautions = rows_of(self.context.paper, self.cautions(ids, free.w))
        top = cautions * CAUTION_LINE + (1.0 if cautions else 0.0)
        return Area(free.x, free.y + top, free.w, free.h - top - rows_of(self.context.paper, self.foot(system, ids, free.w)) * PITCH - ABOVE_FOOT)

    def cautions(self, ids: Iterable[str], width: float) -> list[str]:
        """The lines above a page."""
        return set_lines(self.context.paper, list(caution_lines(self.context, self.ends(list(ids)))), width, TEXT, "bold")

    def foot(self, system: str, ids: Sequence[str], width: float) -> list[str]:
        """The lines below a page: what other sheets share with it, the rules of reading, and the state of its readings where that has no room beside the title block."""
        state = "" if beside_block(width) else state_words(self.context)
        marked = change_row(self.context, width)
        room = line_width(self.context.paper, width)
        shared = self._shared(system, ids)
        said = "; ".join(shared) + "." if shared else ""
        if len(lines := wrap(said, room, TEXT)) > MOST_SHARED:
            said = " ".join((*lines[: MOST_SHARED - 1], cut(" ".join(lines[MOST_SHARED - 1 :]), room, TEXT)))
        rule = " ".join([RULE, *([RULE_WHERE] if fields(self.context) else []), *flags_rule(self.context)])
        usual = set_lines(self.context.paper, [text for text in (said, f"{AT_REST} {rule}") if text], width, TEXT)
        if self.context.options.state is None:
            return [*usual, *marked]
        told = set_lines(self.context.paper, [text for text in (said, rule, state) if text], width, TEXT)
        # no fewer than without readings, so that what is above stands where it does without
        return [*told, *[""] * (len(usual) - len(told)), *marked]

    def groups(self, system: str) -> tuple[Group, ...]:
        """The strands of each page of a system: one page with its relays and switches in one piece where these fit; else they may be in parts."""
        if system not in self._groups and (kept := self._as_kept(system)):
            self._groups[system] = kept
        if system not in self._groups:
            ids = self.systems[system].strands
            area = self.area(system, ids)
            if system == self.served.supply and fits_whole(ids, *self._tries(system, area, False, NEARLY), area.w, area.h):
                self._apart[system], self._groups[system] = False, (tuple(ids),)
                return self._groups[system]
            self._hot_told.discard(system)
            self._apart[system] = not fits_whole(ids, *self._tries(system, area, False, NEARLY), area.w, area.h)
            if self._apart[system] and not fits_whole(ids, *self._tries(system, area, True, NEARLY), area.w, area.h):
                self._groups[system] = tuple(split(self.strands, ids, *self._tries(system, area, True, VERY_NEARLY), area.w, area.h))
            else:
                self._groups[system] = (tuple(ids),)
        return self._groups[system]

    def kept_pages(self, system: str) -> tuple[PageOrder, ...]:
        """What the order file says of a system, where it is for this paper."""
        order = self.context.order
        return order.of(system) if order is not None and order.paper == self.context.options.paper else ()

    def in_parts(self, system: str) -> bool:
        """Whether relays and switches may be in parts on the pages of a system."""
        self.groups(system)
        return self._apart[system]

    def _as_kept(self, system: str) -> tuple[Group, ...]:
        """The strands of each page of a system that the order file has on several or in parts; () where it says no such thing. What no longer fits its page is parted again."""
        kept = self.kept_pages(system)
        if len(kept) < 2 and not any(page.in_parts for page in kept):
            return ()
        self._hot_told.discard(system)
        self._apart[system] = any(page.in_parts for page in kept)
        found: list[Group] = []
        for group in as_kept(self.strands, self.systems[system].strands, [page.wires for page in kept]):
            area = self.area(system, group)
            make, fits = self._tries(system, area, self._apart[system], VERY_NEARLY)
            is_as_before = any(set(group) == set(page.wires) for page in kept)
            found += [group] if is_as_before or fits(make(group)) else split(self.strands, group, make, fits, area.w, area.h)
        return tuple(found)

    def _tries(self, system: str, area: Area, parts_apart: bool, nearly: float) -> tuple[Make, Fits]:
        """What makes a page of some strands while the pages are sought, and what says whether it fits; each asked once."""
        made: dict[tuple[str, ...], PageGraph] = {}
        known: dict[tuple[str, ...], bool] = {}

        def make(ids: Sequence[str]) -> PageGraph:
            key = tuple(ids)
            if key not in made:
                on_page = frozenset(ids)
                printed = self._printed(system, lambda address: self._any_note(address, on_page), lambda owner: self._any_rest(owner, on_page))
                made[key] = page_graph(self.strands, self.directions, ids, printed, area.h, parts_apart=parts_apart, cut=self.cut)
            return made[key]

        def fits(page: PageGraph) -> bool:
            if page.strands not in known:
                known[page.strands] = _fits(self.context.placer, page, area, nearly)
            return known[page.strands]

        return make, fits

    def ends(self, ids: Sequence[str]) -> list[str]:
        return list(dict.fromkeys(end for id in ids for end in (self.strands.all[id].a, self.strands.all[id].b)))

    def strands_of(self, system: str) -> frozenset[str]:
        if system not in self._of:
            self._of[system] = frozenset(self.systems[system].strands)
        return self._of[system]

    def pages(self, system: str) -> tuple[CircuitPage, ...]:
        """The pages of a system as they are placed; what they say of other sheets has any field of their grid."""
        if system not in self._placed:
            found = self._placed_groups(system)
            if any(page.lacks_mm > 0 for page in found):        # the estimate let it pass
                groups = [part for page, group in zip(found, self.groups(system), strict=True) for part in (self._parted_again(system, group) if page.lacks_mm > 0 else (group,))]
                if len(groups) > len(found):
                    self._groups[system] = tuple(groups)
                    self._brief -= {(system, number) for number in range(len(found))}
                    found = self._placed_groups(system)
            self._placed[system] = found
        return self._placed[system]

    def _placed_groups(self, system: str) -> tuple[CircuitPage, ...]:
        found = []
        for number, group in enumerate(self.groups(system)):
            area = self.area(system, group)
            graph = self._graph(system, number, lambda *_: ANY_FIELD)
            page = CircuitPage(graph, self._place(system, graph, area), area)
            if page.placed.over_mm[0] > 0:       # what stands in one row is too wide: no fields then
                self._brief.add((system, number))
                graph = self._graph(system, number, lambda *_: "")
                page = CircuitPage(graph, self._place(system, graph, area), area)
            if page.lacks_mm > 0:
                page = CircuitPage(graph, self._place(system, graph, area, MORE_STARTS), area)
            found.append(page)
        return tuple(found)

    def _parted_again(self, system: str, group: Group) -> tuple[Group, ...]:
        """A group whose page does not fit, on as many pages as it takes by placing each, not by the estimate."""
        area = self.area(system, group)
        width, height = area.w - MARGIN, area.h - MARGIN
        make, _ = self._tries(system, area, self._apart[system], VERY_NEARLY)
        return tuple(split(self.strands, group, make, lambda page: self.context.placer.place(page.graph, width, height).over_mm == (0.0, 0.0), width, height))

    def _place(self, system: str, page: PageGraph, area: Area, starts: int = STARTS) -> Placed:
        """The page, from the order of the order file where that has one."""
        return self.context.placer.place(page.graph, area.w, area.h, nearest(self.kept_pages(system), page.graph), starts=starts)

    def drawn(self, system: str) -> Iterator[CircuitPage]:
        """The pages with the true fields."""
        for number, page in enumerate(self.pages(system)):
            yield CircuitPage(self._graph(system, number, (lambda *_: "") if (system, number) in self._brief else self._field), page.placed, page.area)

    def _graph(self, system: str, number: int, field_of: FieldOf) -> PageGraph:
        ids = self.groups(system)[number]
        on_page = frozenset(ids)
        printed = self._printed(system, lambda address: self._note(system, number, address, on_page, field_of), lambda owner: self._rest(system, number, owner, on_page, field_of))
        return page_graph(self.strands, self.directions, ids, printed, self.area(system, ids).h, parts_apart=self._apart[system], cut=self.cut)

    def _printed(self, system: str, note: Callable[[str], str], rest: Callable[[str], str]) -> Printed:
        context = self.context
        numbers = context.join_numbers or {}
        return Printed(context.harness, context.convention, hot=lambda address: hot_words(context, self.served, address), where=self._where, note=note, rest=rest,
                       joins=lambda wire: numbers.get(wire, ()), tells_hot=system in self._hot_told)

    def _where(self, id: str) -> str:
        """Sheet and field of the layout, ``61 C4``."""
        field = fields(self.context).get(id)
        return f"{field}".replace(",", "") if field is not None else ""

    def _shared(self, system: str, ids: Sequence[str]) -> list[str]:
        """What of a page other sheets use, too, each with these: its fuses, and its grounds."""
        strands, harness = self.strands, self.strands.harness
        ends = self.ends(ids)
        said = []
        for part in (harness.parts[owner] for owner in dict.fromkeys(strands.owner(end) for end in ends) if owner in harness.parts):
            if part.kind in ("fuse", "fusible link") and len(part.terminals) == 2:
                fed = frozenset[str]().union(*(self.served.below[f"{part.id}.{name}"] for name in part.terminals)) - {system}
                if fed and system != self.served.supply:
                    said.append(f"{part.id} also feeds {listed([self._with_sheet(name) for name in self.systems if name in fed])}")
        for end in ends:
            if strands.kind(end) is Kind.GROUND or (strands.kind(end) is Kind.SPLICE and end in strands.returns):
                users = [name for name in self.systems if name != system and not self.strands_of(name).isdisjoint(strands.at[end])]
                if users:
                    said.append(f"{end} also serves {listed([self._with_sheet(name) for name in users])}")
        return said

    def _with_sheet(self, system: str) -> str:
        return f"{system} (sheet {self.refs[system].number})" if system in self.refs else system

    # --------------------------------------------------------- what continues where

    def _is_cut(self, address: str, on_page: frozenset[str]) -> bool:
        """Whether a joint goes on elsewhere with something to be told at it: not at a ground's copper, where the foot of the page says who shares it."""
        return address not in self.strands.returns and any(id not in on_page for id in self.strands.at.get(address, ()))

    def _any_note(self, address: str, on_page: frozenset[str]) -> str:
        """As wide as any note there, while the pages are not known."""
        if not self._is_cut(address, on_page):
            return ""
        systems = {self.served.system[id] for id in self._told(address, on_page)}
        return ANY_SHEET if len(systems) == 1 else f"{ANY_SHEET} and {ANY_SHEET[3:]}"

    def _any_rest(self, owner: str, on_page: frozenset[str]) -> str:
        return ANY_REST if any(id not in on_page for address in self.strands.of_owner[owner] for id in self.strands.at[address]) else ""

    def _told(self, address: str, on_page: frozenset[str]) -> list[str]:
        """The strands at a joint that are not on the page and are told of: where nothing feeds it on the page those that do, else all."""
        missing = [id for id in self.strands.at[address] if id not in on_page]
        feeding = [id for id in missing if self._feeds(id, address)]
        return feeding if feeding and not any(self._feeds(id, address) for id in self.strands.at[address] if id in on_page) else missing

    def _feeds(self, id: str, address: str) -> bool:
        return self.directions.ends(self.strands.all[id])[1] == address

    def _note(self, system: str, number: int, address: str, on_page: frozenset[str], field_of: FieldOf) -> str:
        if not self._is_cut(address, on_page):
            return ""
        told = self._told(address, on_page)
        targets = dict.fromkeys(target for id in told if (target := self._page_of(id, system, number)) is not None)
        words = self._places(targets, system, lambda target: field_of(target, f"joint:{address}", f"node:mate:{min(address, self.strands.mate.get(address, address))}"))
        return words and f"{'from' if all(self._feeds(id, address) for id in told) else 'to'} {words}"

    def _rest(self, system: str, number: int, owner: str, on_page: frozenset[str], field_of: FieldOf) -> str:
        """Where the strands of a thing are that is shown in part."""
        missing = [id for address in self.strands.of_owner[owner] for id in self.strands.at[address] if id not in on_page]
        targets = dict.fromkeys(target for id in missing if (target := self._page_of(id, system, number)) is not None)
        words = self._places(targets, system, lambda target: field_of(target, f"node:{owner}"))
        return words and f"rest {words}"

    def _places(self, targets: Iterable[Target], system: str, field_of: Callable[[Target], str]) -> str:
        """``sheet 14, C4 and sheet 15, B2``; of more than a few the numbers alone. Pages of the sheet itself first."""
        order = [system, *self.refs]
        targets = sorted(targets, key=lambda target: (order.index(target[0]), target[1]))
        if len(targets) <= FEW:
            return " and ".join(self._named(target, system, field_of(target)) for target in targets)
        own = [str(page + 1) for name, page in targets if name == system]
        others = sorted({int(self.refs[name].number) for name, _ in targets if name != system})
        return " and ".join(filter(None, (f"page{'s' if len(own) > 1 else ''} {', '.join(own)}" if own else "", f"sheet{'s' if len(others) > 1 else ''} {', '.join(map(str, others))}" if others else "")))

    def _page_of(self, id: str, system: str, number: int) -> Target | None:
        """Where a strand is drawn: on another page of the same sheet, else on the sheet of its own system, else on the first that has it."""
        own = self.served.system[id]
        for name in dict.fromkeys((system, own or system, *self.systems)):
            if name in self.refs and id in self.strands_of(name):
                for page, group in enumerate(self.groups(name)):
                    if id in group and (name, page) != (system, number):
                        return name, page
        return None

    def _named(self, target: Target, system: str, field: str) -> str:
        name, page = target
        several = len(self.groups(name)) > 1
        sheet = f"page {page + 1}" if name == system else f"sheet {self.refs[name].number}{f' p. {page + 1}' if several else ''}"
        return ", ".join(filter(None, (sheet, field)))

    def _field(self, target: Target, *names: str) -> str:
        """The field in which the first of some nodes stands on a page; of a thing in parts that of the first; "" where none is there."""
        page = self.pages(target[0])[target[1]]
        at = next((node for name in names for there, node in page.placed.nodes.items() if there == name or there.startswith(f"{name}#")), None)
        if at is None or page.lacks_mm > 0:
            return ""
        pen_w, pen_h = self.context.paper.height_mm, self.context.paper.width_mm
        x, y = next(iter(at.ports.values()), (at.x, at.y))
        return zone_of(pen_w, pen_h, page.area.x + x, page.area.y + y)


def _fits(placer: Kept, page: PageGraph, area: Area, nearly: float) -> bool:
    """Whether a page fits: by the quick estimate, or where that says that less than ``nearly`` mm are lacking, placed."""
    right, down = placer.place(page.graph, area.w, area.h, quick=True).over_mm
    if right + down == 0.0:
        return True
    return right + down < nearly and placer.place(page.graph, area.w, area.h).over_mm == (0.0, 0.0)


def circuit_book(context: Context) -> CircuitBook:
    """The one of a context."""
    return context.kept("circuits", lambda: CircuitBook(context))
