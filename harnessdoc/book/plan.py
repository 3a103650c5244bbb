"""Choice and order of the sheets, before any is drawn.

Takes: the harness. Gives: the sheets with their numbers, and on which sheet each
thing is found, so that every far end can carry the number where it continues.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator

from ..drawing.page import Paper
from ..geometry.cuts import has_cuts
from ..geometry.measure import Geometry
from ..geometry.passage import has_passages
from ..merge.plan import Merge
from ..model.harness import Harness
from ..network.islands import Network
from ..operation.operate import Operation
from ..sheets.circuit_pages import systems_of
from ..sheets.context import SheetKind, SheetRef
from ..sheets.distribution_pages import distribution_sheets
from ..sheets.electrical import circuits_on_sheets
from ..sheets.relay import relays_per_sheet
from ..sheets.splices import splices_on_sheets

_LONGEST_NAME = 80
_FRONT = (SheetKind.COVER, SheetKind.CAUTIONS, SheetKind.INDEX, SheetKind.FINDINGS)
_BACK = (SheetKind.CUT_LIST, SheetKind.PARTS, SheetKind.LABELS, SheetKind.CHECK)


def plan_sheets(harness: Harness, geometry: Geometry, paper: Paper, operation: Operation | None, merge: Merge | None = None, network: Network | None = None) -> tuple[SheetRef, ...]:
    """The sheets of a book in their order, numbered from 1; ``operation``: the circuit solved, None where it is not; ``merge``: what was decided, where two are merged."""
    wanted = list(_wanted(harness, geometry, paper, operation, merge, network))
    return tuple(SheetRef(number, name, kind, title, subjects) for number, (name, kind, title, subjects) in enumerate(wanted, start=1))


def sheets_apart(harness: Harness) -> tuple[SheetRef, ...]:
    """The sheets that are in no book and are written on request; they have no number in it."""
    return (SheetRef("1:1", "layout-1to1", SheetKind.LAYOUT_1TO1, harness.title or SheetKind.LAYOUT_1TO1.value),) if harness.segments else ()


def sheets_of(sheets: Iterable[SheetRef], harness: Harness) -> dict[str, SheetRef]:
    """Owner id -> the sheet it is found on.

    A device that owns connectors is found on the sheet of the first, one that has
    terminals of its own on the list of fuses and relays, where its studs stand; a part
    with no sheet of its own on the sheet of its box, or on that list.
    """
    # the subject of a fate list is a source, that of a circuit diagram a system: no thing of the harness
    found = {subject: sheet for sheet in sheets for subject in sheet.subjects if subject and sheet.kind not in (SheetKind.FATES, SheetKind.CIRCUIT)}
    by_kind = {sheet.kind: sheet for sheet in sheets}
    for part in harness.parts.values():
        if part.id not in found:
            sheet = found.get(part.box) if part.box else by_kind.get(SheetKind.FUSES)
            if sheet:
                found[part.id] = sheet
    for device in harness.devices.values():
        for connector in device.connectors:
            if connector in found:
                found.setdefault(device.id, found[connector])
        if device.terminals and SheetKind.FUSES in by_kind:
            # far ends name a device only by a terminal of its own
            found[device.id] = by_kind[SheetKind.FUSES]
    return found


def file_name(text: str) -> str:
    """An id as part of a file name: safe on every system, different for different ids; ``donor~E1`` for an id of a merge's source."""
    safe = "".join(c if c.isascii() and (c.isalnum() or c in "-+_.") else "~" if c == "/" else f"({ord(c):x})" for c in text)
    if len(safe) > _LONGEST_NAME:
        safe = safe[: _LONGEST_NAME - 9] + "-" + hashlib.sha1(text.encode()).hexdigest()[:8]
    return safe


def _wanted(harness: Harness, geometry: Geometry, paper: Paper, operation: Operation | None, merge: Merge | None, network: Network | None) -> Iterator[tuple[str, SheetKind, str, tuple[str, ...]]]:
    def single(kind: SheetKind, subjects: tuple[str, ...] = ()) -> tuple[str, SheetKind, str, tuple[str, ...]]:
        return kind.value.lower().replace(" ", "-"), kind, harness.title or kind.value, subjects

    for kind in _FRONT:
        yield single(kind)
    if len(harness.wires) > 1:
        yield single(SheetKind.OVERVIEW)
    if harness.parts or any(device.terminals for device in harness.devices.values()):
        yield "fuse-relay", SheetKind.FUSES, harness.title or SheetKind.FUSES.value, ()
    if harness.grounds:
        yield single(SheetKind.GROUNDS, tuple(harness.grounds))
    if operation is not None:
        yield single(SheetKind.BUDGET)
    for name, kind in (distribution_sheets(harness) if network is not None else ()):
        yield name, kind, harness.title or kind.value, ()
    for system in systems_of(harness, network) if network is not None else ():
        name = system.name or harness.title or "all"
        yield f"circuit-{file_name(name.replace(' ', '-')).replace('~', '(2f)')}", SheetKind.CIRCUIT, name, (system.name,)
    drawn: set[str] = set()
    for connector in harness.connectors.values():
        if connector.id in drawn:
            continue
        halves = _halves(harness, connector.id)
        drawn.update(halves)
        yield ("pinout-" + "-".join(map(file_name, halves)), SheetKind.PINOUT, _title(harness, halves), halves)
    for box in harness.boxes.values():
        yield f"box-{file_name(box.id)}", SheetKind.BOX, _named(box.id, box.title), (box.id,)
    relays = [part.id for part in harness.parts.values() if part.kind == "relay"]
    for number, group in enumerate(_groups(relays, relays_per_sheet(paper)), start=1):
        yield f"relays-{number}", SheetKind.RELAYS, ", ".join(group), group
    if harness.segments:
        yield "layout", SheetKind.LAYOUT, harness.title or SheetKind.LAYOUT.value, ()
    if harness.connectors or harness.splices or harness.grounds:
        yield single(SheetKind.LOCATIONS)
    if harness.splices:
        yield single(SheetKind.SPLICE_PLACES)
    if has_cuts(harness) or has_passages(harness, geometry):
        yield "layout-sections", SheetKind.CROSS_SECTIONS, harness.title or SheetKind.CROSS_SECTIONS.value, ()
    if harness.splices:
        for number, group in enumerate(splices_on_sheets(harness, geometry, paper), start=1):
            yield f"splices-{number}", SheetKind.SPLICES, ", ".join(group), tuple(group)
    if merge is not None:
        yield single(SheetKind.JOINS)
        if merge.interfaces:
            yield single(SheetKind.INTERFACES)
        for source in merge.sources.values():
            yield f"fates-{file_name(source.name)}", SheetKind.FATES, _named(source.name, source.harness.title), (source.name,)
        yield single(SheetKind.CLOSURE)
    if operation is not None:
        systems = circuits_on_sheets(operation)
        for system, circuits in systems.items():
            plain = system.replace(" ", "-")
            yield f"electrical-{file_name(system if plain in systems else plain)}", SheetKind.ELECTRICAL, system, circuits
    for kind in _BACK:
        yield single(kind)
        if kind is SheetKind.CUT_LIST and merge is not None:
            yield single(SheetKind.STOCK_PLAN)


def _halves(harness: Harness, connector: str) -> tuple[str, ...]:
    """A connector and the other half of an in-line connector, in the order of the file."""
    mates = harness.connectors[connector].mates
    other = mates or next((one.id for one in harness.connectors.values() if one.mates == connector), None)
    return (connector,) if other is None or other == connector else (connector, other)


def _title(harness: Harness, halves: tuple[str, ...]) -> str:
    return " and ".join(_named(name, harness.connectors[name].title) for name in halves)


def _named(name: str, title: str) -> str:
    return f"{name}, {title}" if title else name


def _groups(names: list[str], size: int) -> Iterator[tuple[str, ...]]:
    for start in range(0, len(names), size):
        yield tuple(names[start : start + size])
