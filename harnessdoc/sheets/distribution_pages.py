"""The pages of power distribution and of ground distribution: placed and drawn as circuit diagrams are.

Takes a Context and what is to be distributed; gives a DistributionBook, made once for it. Where a page ends at a thing it names the
circuit diagrams on which that thing is; where a bus bar or splice goes on on another of its own pages it names page and field.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from ..circuits.direction import Directions
from ..circuits.distribution import PROTECTS, Distribution
from ..circuits.figure import PITCH, TEXT
from ..circuits.pages import Group, split
from ..circuits.printed import Printed
from ..circuits.strands import Strands
from ..circuits.systems import System
from ..drawing.record import Area, Drawing
from ..model.harness import Harness, Kind
from ..operation.words import listed
from .circuit_pages import ANY_SHEET, CAUTION_LINE, FEW, CircuitBook, CircuitPage, FieldOf, Target, circuit_book
from .circuit_marks import draw_change_marks
from .circuit_words import change_row, hot_words
from .context import Context, SheetKind
from .facing import draw_lines, rows_of, set_lines
from .unfit import draw_or_list

JOINTS = (Kind.SPLICE, Kind.BAR, Kind.GROUND)
BETWEEN_STRIPS = 4.0
"""In mm."""


def distribution_sheets(harness: Harness) -> Iterator[tuple[str, SheetKind]]:
    """Name and kind of the sheets there are: power where a fuse or link has a wire or bar, ground where a ground has a wire."""
    joined = {end for wire in harness.wires.values() for end in (wire.from_, wire.to)} | {end for box in harness.boxes.values() for bar in box.bars for end in bar.joins}
    if any(f"{part.id}.{name}" in joined for part in harness.parts.values() if part.kind in PROTECTS for name in part.terminals):
        yield "power", SheetKind.POWER
    if any(ground in joined for ground in harness.grounds):
        yield "ground", SheetKind.GROUND_PAGES


class DistributionBook(CircuitBook):
    """The pages of one kind: in it the distribution is one system, whose name no system has; a part of it that is placed by itself is a strip, and a page has one or several below each other."""

    def __init__(self, context: Context, kind: SheetKind, find: Callable[[Strands, Directions], Distribution], rule: str, about: Callable[[DistributionBook, str], tuple[str, ...]],
                 strips: int = 1) -> None:
        super().__init__(context)
        self.base = circuit_book(context)
        self.name, self.kind, self.find = kind.value, kind, find
        found = find(self.strands, self.directions)
        self.systems = {self.name: System(self.name, found.strands)}
        self.refs = {self.name: ref for ref in context.sheets if ref.kind is kind}
        self.cut, self.bare, self.may_cut, self.rule, self.about, self.strips = found.cut, found.bare, found.may_cut, rule, about, strips

    def foot(self, system: str, ids: Iterable[str], width: float) -> list[str]:
        said = [f"No wire is described at {listed(list(self.bare))}."] if self.bare else []
        return [*set_lines(self.context.paper, (*said, self.rule), width, TEXT), *change_row(self.context, width)]

    def area(self, system: str, ids: Sequence[str]) -> Area:
        """Of a strip; where a page has several, any caution of the sheet has its room."""
        whole = super().area(system, ids if self.strips == 1 else self.systems[self.name].strands)
        return Area(whole.x, whole.y, whole.w, (whole.h - (self.strips - 1) * BETWEEN_STRIPS) / self.strips)

    def groups(self, system: str) -> tuple[Group, ...]:
        if system not in self._groups:
            self._apart[system] = False
            found = self._parted()
            if self.strips > 1 and not all(self._fits_strip(group) for group in found):
                self.strips = 1
                found = self._parted()
            self._groups[system] = found
        return self._groups[system]

    def _parted(self) -> tuple[Group, ...]:
        ids = self.systems[self.name].strands
        area = self.area(self.name, ids)
        make, fits = self._tries(self.name, area, False, True)
        found = split(self.strands, ids, make, fits, area.w, area.h, self.may_cut)
        if not all(fits(make(group)) for group in found):
            joints = {end for end in self.ends(ids) if self.strands.kind(end) in JOINTS or end in self.strands.mate}
            found = split(self.strands, ids, make, fits, area.w, area.h, self.may_cut | joints)
        return tuple(found)

    def _fits_strip(self, group: Group) -> bool:
        area = self.area(self.name, group)
        make, fits = self._tries(self.name, area, False, True)
        return fits(make(group))

    def pages(self, system: str) -> tuple[CircuitPage, ...]:
        """The strips, each with the area it has on its page."""
        found = super().pages(system)
        return tuple(replace(strip, area=replace(strip.area, y=strip.area.y + number % self.strips * (strip.area.h + BETWEEN_STRIPS))) for number, strip in enumerate(found))

    def before(self, context: Context) -> tuple[str, ...]:
        """The strands that were on the sheet in the version before."""
        if context.since is None:
            return ()
        was = circuit_book(context.since.before)
        return self.find(was.strands, was.directions).strands

    def sheets(self) -> list[list[CircuitPage]]:
        """The strips page by page, with what they say of each other."""
        strips = list(self.drawn(self.name))
        return [strips[start : start + self.strips] for start in range(0, len(strips), self.strips)]

    def _named(self, target: Target, system: str, field: str) -> str:
        return ", ".join(filter(None, (f"page {target[1] // self.strips + 1}", field)))

    def _printed(self, system: str, note: Callable[[str], str], rest: Callable[[str], str]) -> Printed:
        context = self.context
        numbers = context.join_numbers or {}
        return Printed(context.harness, context.convention, hot=lambda address: hot_words(context, self.served, address), note=note, rest=rest,
                       joins=lambda wire: numbers.get(wire, ()), also=lambda id: self.about(self, id), goes_on=self._goes_on)

    # --------------------------------------------------------- what continues where

    def _is_cut(self, address: str, on_page: frozenset[str]) -> bool:
        return any(id not in on_page for id in self.strands.at.get(address, ()))

    def _any_note(self, address: str, on_page: frozenset[str]) -> str:
        if not self._is_cut(address, on_page):
            return ""
        own = frozenset(self.systems[self.name].strands)
        apart = any(id in own and id not in on_page for id in self.strands.at[address])
        return ", ".join(filter(None, (ANY_SHEET if apart else "", self._elsewhere(self._off(address)))))

    def _note(self, system: str, number: int, address: str, on_page: frozenset[str], field_of: FieldOf) -> str:
        """Where a joint goes on: on another page of this sheet, and on the diagrams."""
        return ", ".join(filter(None, (super()._note(system, number, address, on_page, field_of), self._elsewhere(self._off(address)))))

    def _rest(self, system: str, number: int, owner: str, on_page: frozenset[str], field_of: FieldOf) -> str:
        own = super()._rest(system, number, owner, on_page, field_of)
        return own or self._elsewhere([id for address in self.strands.of_owner[owner] for id in self._off(address)], "rest")

    def _off(self, address: str) -> list[str]:
        """The strands there that are on no page of this sheet."""
        own = frozenset(self.systems[self.name].strands)
        return [id for id in self.strands.at.get(address, ()) if id not in own]

    def _goes_on(self, addresses: tuple[str, ...]) -> list[str]:
        """Of contacts at which a page ends: the diagrams on which their wires are."""
        word = "to " if self.kind is SheetKind.POWER else ""
        names = self._systems_of(id for address in addresses for id in self.strands.at.get(address, ()))
        if len(names) > FEW:
            return [f"{word}sheets {self._numbers(names)}"]
        return [said for name in names for said in (*([f"{word}{name},"] if name else []), f"{'' if name else word}sheet {self.base.refs[name].number}")]

    def _elsewhere(self, ids: Iterable[str], word: str = "to") -> str:
        """``to fuel, sheet 14``; of more than a few diagrams the numbers alone; "" for none."""
        names = self._systems_of(ids)
        if len(names) > FEW:
            return f"{word} sheets {self._numbers(names)}"
        return f"{word} {' and '.join(', '.join(filter(None, (name, f'sheet {self.base.refs[name].number}'))) for name in names)}" if names else ""

    def _numbers(self, names: Iterable[str]) -> str:
        return ", ".join(str(self.base.refs[name].number) for name in names)

    def _systems_of(self, ids: Iterable[str]) -> list[str]:
        """In the order of the sheets, of each strand the system that it is of, else the first that has it on its diagram."""
        base, names = self.base, set()
        for id in ids:
            having = [name for name in base.systems if name in base.refs and id in base.strands_of(name)]
            own = base.served.system[id]
            names.update([own] if own in having else having[:1])
        return [name for name in base.systems if name in names]


def draw_distribution(context: Context, book: DistributionBook) -> tuple[Drawing, ...]:
    """All pages of a distribution."""
    ref = book.refs[book.name]
    sheets = book.sheets()
    drawings = []
    for number, strips in enumerate(sheets, start=1):
        pen, area = context.page(ref, number, len(sheets), "landscape")
        ids = [id for strip in strips for id in strip.graph.strands]
        draw_lines(pen, context.paper, area, area.y + TEXT, CAUTION_LINE, book.cautions(ids, area.w), TEXT, "bold", "caution")
        draw_change_marks(pen, context, ref, [strip for strip in strips if strip.lacks_mm == 0.0], area, book.before(context) if number == 1 else ())
        for strip in strips:
            draw_or_list(pen, book, strip)
        foot = book.foot(book.name, ids, area.w)
        draw_lines(pen, context.paper, area, area.bottom - 0.6 - (rows_of(context.paper, foot) - 1) * PITCH, PITCH, foot, TEXT, tag="foot")
        drawings.append(pen.drawing())
    return tuple(drawings)
