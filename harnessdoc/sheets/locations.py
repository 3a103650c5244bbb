"""The location list: where everything with a number of its own is, in words and on the layout.

Takes a Context and the reference of the sheet; gives its pages: connectors, devices, boxes,
splices and grounds with place, zone, field of the layout, the sheet that shows more, and photo.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox, LinkText
from ..revision.changes import Thing
from .context import Context, SheetRef
from .flow import free_area
from .layout_tree import zone_of
from .layout_where import Field, fields
from .list_cells import known, listed, place_named
from .marking import Draft, marked_pages
from .splice_words import place_words
from .tables import Key, PlainRow, PlainTable, keyed_rows


def draw_locations(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """One table, what there is of each kind under a heading."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, _: SheetRef) -> Iterator[Draft]:
    width = free_area(context.paper, "landscape").w
    found, harness = fields(context), context.harness
    photos = any(one.photo for one in (*harness.connectors.values(), *harness.boxes.values()))
    columns = (Column("Id", 26.0), Column("Name", weight=1.2), Column("Place in words", weight=1.6), Column("Zone", 24.0),
               *([Column("On the layout", 26.0)] if found else []), Column("Sheet", 14.0), *([Column("Photo", weight=0.5)] if photos else []))
    rows: list[tuple[Key, PlainRow | Band]] = []
    for head, thing, ids in (("Connectors", Thing.CONNECTOR, harness.connectors), ("Devices", Thing.DEVICE, harness.devices), ("Boxes", Thing.BOX, harness.boxes),
                             ("Splices", Thing.SPLICE, harness.splices), ("Grounds", Thing.GROUND, harness.grounds)):
        if ids:
            rows.append(((thing.name,), Band(head)))
        for id, one in ids.items():
            photo = [getattr(one, "photo", "")] if photos else []
            place = place_words(harness, context.geometry, one, context.options.units) if thing is Thing.SPLICE else place_named(harness, harness.seat(id))
            zone = _zone(context, id)
            rows.append((((thing, id),), (id, one.title, known(place, "place"), zone or "", *([_on_layout(found.get(id))] if found else []), _sheet(context, id), *photo)))
    yield PlainTable(("locations",), columns, keyed_rows(rows), width, pitch=5.0, is_flagged=False)


def _zone(context: Context, id: str) -> str | None:
    """That of the segment a splice sits on; of a point, where it has none those of the segments that end there."""
    harness, station = context.harness, context.geometry.stations.get(id)
    if station is not None and station.segment:
        return zone_of(harness, harness.segments[station.segment])
    name = harness.seat(id) or (station.from_point if station and station.toward_point is None else None)
    point = harness.points.get(name) if name else None
    if point and point.zone:
        return point.zone
    return listed(segment.zone for segment in harness.segments.values() if segment.zone and name in (segment.from_, segment.to))


def _on_layout(field: Field | None) -> LinkText | str | EmptyBox:
    return LinkText(f"→ {field}", field.sheet.name) if field else "not drawn"


def _sheet(context: Context, id: str) -> LinkText | str:
    sheet = context.sheet_of.get(id)
    return LinkText(f"→ {sheet.number}", sheet.name) if sheet else ""
