"""A Context for the tests of sheets, with sheet numbers made by hand.

Takes YAML text (leading indentation taken off); gives a Context in which every
connector, box and ground has a sheet, all relays one and all splices one, whatever
the plan of a book would choose. Its sheets have no flags of findings, unless asked for
with `with_flags`. A description with errors fails here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from textwrap import dedent

from harnessdoc.sheets.context import Context, Options, SheetKind, SheetRef
from harnessdoc.sheets.flags import numbers_at
from harnessdoc.steps import load

FILE = "harness.yaml"
LISTS = (SheetKind.COVER, SheetKind.CAUTIONS, SheetKind.INDEX, SheetKind.FINDINGS, SheetKind.FUSES, SheetKind.GROUNDS)
"""The sheets 1 to 6; the others follow."""
LAST = (SheetKind.CUT_LIST, SheetKind.PARTS, SheetKind.LABELS, SheetKind.CHECK)


def context_of(text: str, **options: str) -> Context:
    """The context of a description; ``options`` as those of Options."""
    loaded = load(FILE, {FILE: dedent(text)})
    assert loaded.harness and loaded.network and loaded.geometry and not loaded.has_errors, loaded.findings
    harness = loaded.harness
    sheets: list[SheetRef] = []
    found: dict[str, SheetRef] = {}

    def add(kind: SheetKind, title: str, subjects: Iterable[str] = ()) -> None:
        name = "-".join([kind.value.lower().replace(" ", "-"), *([title] if subjects else [])])
        sheets.append(SheetRef(len(sheets) + 1, name, kind, title, tuple(subjects)))
        found.update({subject: sheets[-1] for subject in sheets[-1].subjects})

    for kind in LISTS:
        add(kind, harness.title, harness.grounds if kind is SheetKind.GROUNDS else ())
    for connector in harness.connectors:
        add(SheetKind.PINOUT, connector, [connector])
    for box in harness.boxes:
        add(SheetKind.BOX, box, [box])
    add(SheetKind.RELAYS, "relays", [part.id for part in harness.parts.values() if part.kind == "relay"])
    add(SheetKind.SPLICES, "splices", harness.splices)
    for part in harness.parts.values():
        found.setdefault(part.id, found.get(part.box or "", sheets[LISTS.index(SheetKind.FUSES)]))
    for kind in LAST:
        add(kind, harness.title)
    return Context(harness, loaded.network, loaded.geometry, loaded.findings, Options(**options), tuple(sheets), found, loaded.operation,
                   waived=loaded.waived, unasked=loaded.unasked)


def with_flags(context: Context) -> Context:
    """The same with the flags of its findings on its sheets."""
    return replace(context, numbers_at=numbers_at(context.findings))


def ref_of(context: Context, kind: SheetKind) -> SheetRef:
    """The first sheet of a kind."""
    return next(sheet for sheet in context.sheets if sheet.kind is kind)
