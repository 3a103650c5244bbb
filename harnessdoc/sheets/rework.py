"""The rework sheet: the steps from the version before to this one, with boxes to tick and the parts they take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..drawing.record import Drawing
from ..drawing.table import Band, CellContent, Column, EmptyBox, Layout, Row, lay_out
from ..network.continuity import airbag_signalled
from ..revision.changes import Thing
from ..revision.parts_needed import parts_needed, parts_taken_off
from ..revision.rework import rework
from ..revision.steps import Phase, Step
from .cautions import CAUTIONS, cautions_of
from .check import HOW
from .context import Context, SheetRef, Since
from .flow import Block, Heading, Words, free_area, set_pages
from .list_cells import sheet_link, swatch_cell
from .parts import part_table
from .tables import lay_table

STILL_AS_BEFORE = ("For a harness that is still as it was: what comes out is called as before, what goes in as it is now. "
                   "Where a line of the description was only put right, nothing is to be done: strike the step.")
AIRBAG_EXCEPTED = " Airbag units excepted: as the vehicle's own book says."
NARROW = 200.0
"""A page that leaves no more width than this has size and colour under the wire."""
_AS_BEFORE = (Phase.UNPLUG, Phase.DE_PIN, Phase.CUT)
"""Phases whose steps call things as the version before does."""


def draw_rework(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Cautions, the steps by phase, the tests, the way back, what it takes and what comes off.

    Raises ValueError without a version before: a fault of the caller.
    """
    since = context.since
    if since is None:
        raise ValueError("a rework is between two versions")
    steps = rework(since.comparison, context.options.units).steps
    if not steps:
        return set_pages(context, ref, [Words("Nothing to do by hand: what changed is knowledge, text and use.", height=3.5)], "landscape")
    width = free_area(context.paper, "landscape").w
    numbered = list(enumerate(steps, start=1))
    blocks: list[Block] = [Words(line, "bold", tag="caution") for line in _cautions(context, since)]
    before, tests, after = ([(number, step) for number, step in numbered if where(step.phase)] for where in (
        lambda phase: phase not in (Phase.TEST, Phase.PLUG_IN), lambda phase: phase is Phase.TEST, lambda phase: phase is Phase.PLUG_IN))
    blocks += [Words(STILL_AS_BEFORE), _hands(context, since, before, width)]
    if tests:
        excepted = AIRBAG_EXCEPTED if airbag_signalled(context.harness) or airbag_signalled(since.before.harness) else ""
        blocks += [Heading(Phase.TEST.value), Words(HOW + excepted), _tests(context, tests, width)]
    if after:
        blocks.append(_hands(context, since, after, width))
    blocks += _parts(context, since, width)
    return set_pages(context, ref, blocks, "landscape")


def _cautions(context: Context, since: Since) -> tuple[str, ...]:
    """Of all circuits that the changes touch, as they were and as they are, gravest first."""
    comparison = since.comparison
    old, new = comparison.old.harness, comparison.new.harness
    was: dict[str, None] = {}
    now: dict[str, None] = {}
    for change in comparison.changes:
        for name, harness, touched in ((change.old_id, old, was), (change.new_id, new, now)):
            if name is None or change.thing not in (Thing.WIRE, Thing.CONTACT, Thing.SPLICE, Thing.GROUND):
                continue
            wire = harness.wires.get(name) if change.thing is Thing.WIRE else None
            touched.update(dict.fromkeys((wire.from_, wire.to) if wire else (name,)))
    touching = cautions_of(since.before, was) | cautions_of(context, now)
    return tuple(text for caution, text in CAUTIONS.items() if caution in touching)


# --------------------------------------------------------------------------- the steps

def _hands(context: Context, since: Since, steps: Sequence[tuple[int, Step]], width: float) -> Layout:
    wide = width > NARROW
    columns = [Column("", 9, anchor="end"), Column("Done", 11), Column("Where, sheet", 30 if wide else 22), Column("Wire", 16), *([Column("Size", 18), Column("Colour", 16)] if wide else []),
               Column("", 11.2), Column("Terminal, seal", 38 if wide else 28), Column("What to do"), Column("Proof", 38 if wide else 26)]
    rows: list[Row] = []
    phase = None
    for number, step in steps:
        if step.phase is not phase:
            phase = step.phase
            rows.append(Band(phase.value))
        rows.append(_step_row(context, since, number, step, wide))
    return lay_out(columns, rows, width, pitch=6.5, tag="step")


def _step_row(context: Context, since: Since, number: int, step: Step, wide: bool) -> Row:
    size, colour = str(step.size) if step.size else "", context.colour(step.colour)
    wire: tuple[CellContent, ...] = (step.wire, size, colour) if wide else (tuple(filter(None, (step.wire, size, colour))),)
    fits = tuple(filter(None, (step.terminal, step.seal)))
    return (str(number), EmptyBox("done"), _where(context, since, step), *wire, swatch_cell(step.colour), fits, step.words, step.proof)


def _where(context: Context, since: Since, step: Step) -> CellContent:
    """An address or a thing, with its sheet of this version; of what is gone there is none."""
    is_old = step.phase in _AS_BEFORE
    contact = (since.before if is_old else context).harness.contacts.get(step.at)
    owner = contact.owner if contact else step.at
    now = since.comparison.pairing.owner_now.get(owner, "") if is_old else owner
    return sheet_link(step.at, context.sheet_of.get(now))


def _tests(context: Context, steps: Sequence[tuple[int, Step]], width: float) -> Layout:
    columns = [Column("", 9, anchor="end"), Column("Done", 11), Column("From, sheet", 34 if width > NARROW else 26), Column("To, or what"), Column("Must", 26), Column("Value", 19), Column("Initials", 15)]
    rows = [(str(number), EmptyBox("done"), sheet_link(step.at, context.sheet_for(step.at) or context.sheet_of.get(step.at)) if step.at else "", step.words, step.proof,
             EmptyBox("value") if step.proof else "", EmptyBox("initials")) for number, step in steps]
    return lay_out(columns, rows, width, pitch=6.5, tag="test")


def _parts(context: Context, since: Since, width: float) -> Iterator[Block]:
    for heading, lines in (("Parts it takes", parts_needed(since.comparison, context.convention)), ("Wire that comes off, to stock", parts_taken_off(since.comparison, context.convention))):
        if lines:
            yield Heading(heading)
            yield lay_table(part_table(context, lines, width))
