"""Where a thing is on the harness layout: the sheet, its page where it has several, and the field of its grid.

Takes a Context; gives ``12, C4`` for connectors, splices, grounds, devices, boxes and parts
that have a place on the bundle, so that other sheets can print it beside their names.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..drawing.page import zone_of
from .context import Context, SheetKind, SheetRef
from .layout_map import Layout, layout_of, spots_of


@dataclass(frozen=True, slots=True)
class Field:
    """A field of the layout: its sheet, the page of that many, and the grid reference."""

    sheet: SheetRef
    page: int
    pages: int
    zone: str

    def __str__(self) -> str:
        """``12, C4``; ``12.2, C4`` on a page that is not the only one with a drawing."""
        return f"{self.sheet.number}{f'.{self.page}' if self.pages > 1 else ''}, {self.zone}"


def fields(context: Context) -> Mapping[str, Field]:
    """Id of everything that sits on the bundle -> the field it is drawn in; {} where the book has no layout."""
    return context.kept("fields of the layout, since" if context.since else "fields of the layout", lambda: _fields(context))


def _fields(context: Context) -> Mapping[str, Field]:
    sheet = next((ref for ref in context.sheets if ref.kind is SheetKind.LAYOUT), None)
    if sheet is None or not context.harness.segments:
        return {}
    layout = layout_of(context)
    width, height = context.paper.height_mm, context.paper.width_mm
    at_point: dict[str, Field] = {}
    found: dict[str, Field] = {}
    pages = len(layout.pages)
    for page, spot in spots_of(layout):
        at_point.setdefault(spot.point, Field(sheet, page, pages, zone_of(width, height, spot.x, spot.y)))
    for page, one in enumerate(layout.pages, start=1):
        for name, (x, y) in one.dots.items():
            found[name] = Field(sheet, page, pages, zone_of(width, height, x, y))
    for name, place in context.harness.place_of.items():
        if place in at_point:
            found.setdefault(name, at_point[place])
    for device in context.harness.devices.values():
        at = next((found[one] for one in device.connectors if one in found), None)
        if at:
            found.setdefault(device.id, at)
    return found


def where(context: Context) -> Mapping[str, str]:
    """The same in words: ``sheet 12, C4``."""
    return {name: f"sheet {field}" for name, field in fields(context).items()}


def not_drawn(context: Context, layout: Layout) -> list[str]:
    """What has contacts and no place on the bundle that is drawn, in the order of the model."""
    harness = context.harness
    points = {spot.point for _, spot in spots_of(layout)}
    drawn = {name for one in layout.pages for name in one.dots} | {name for name, place in harness.place_of.items() if place in points}
    drawn |= {device.id for device in harness.devices.values() if drawn.intersection(device.connectors)}
    parts = [part.id for part in harness.parts.values() if not part.box]
    return [name for name in (*harness.connectors, *harness.devices, *harness.boxes, *parts, *harness.splices, *harness.grounds) if name not in drawn]
