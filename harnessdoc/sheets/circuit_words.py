"""What a circuit page says in words: when a feed is hot, and which state its readings are of; where what changed finds room."""

from __future__ import annotations

from ..circuits.systems import Served
from ..drawing.page import BLOCK_WIDTH, CLEAR, SLACK
from ..judgement.hot import words_at
from ..operation.report import given_by
from ..operation.states import case_in_words
from ..operation.words import listed, volts_shown
from .context import Context, SheetKind, SheetRef
from .flow import free_area

AT_ALL_TIMES = "hot at all times"
LEAST_BESIDE = 60.0
"""From this width beside the title block on the words about the state stand there, and a page is what it is without readings."""


def hot_words(context: Context, served: Served, address: str) -> str:
    """``hot in run and start``: of the solved states, else as the circuits of the wires there say; "" where nobody knows or it never is."""
    operation, harness = context.operation, context.harness
    words: tuple[str, ...] | None = None
    if operation is not None and address in operation.wiring.nodes.of and address not in operation.wiring.nodes.off:
        words = words_at(operation, address)
    if not words:
        stated = (harness.circuits[wire.circuit].hot for id in served.strands.at.get(address, ()) if (wire := served.strands.all[id].wire) and wire.circuit in harness.circuits)
        words = next((hot for hot in stated if hot), ())
    if not words:
        return ""
    if "always" in words:
        return AT_ALL_TIMES
    keys = [word for word in words if word not in ("with engine", "commanded")]
    other = [{"with engine": "with the engine", "commanded": "when commanded"}[word] for word in words if word in ("with engine", "commanded")]
    return "hot " + listed([*([f"in {listed(keys)}"] if keys else []), *other])


def state_words(context: Context, before: str = "Contacts are drawn at rest; the volts in round frames are those") -> str:
    """That what is drawn is no state and the volts are of one; which state, what the supplies give in it, and what a meter is held against; "" where no state is asked for."""
    operation, solved = context.operation, context.options.state
    if operation is None or solved is None:
        return ""
    gives = listed([f"{one.device.id} gives {volts_shown(one.volts)} V" for one in given_by(operation, solved)])
    name = f"state '{solved.case.name}': " if solved.case.named else ""
    off = " Airbag circuits are not probed." if operation.wiring.nodes.off else ""
    return f"{before} with {name}{case_in_words(operation.wiring.harness, solved.case)}; {gives}; against battery minus, all plugged in, 10 Mohm meter.{off}"


def beside_block(width: float) -> float:
    """The width for words left of the title block of a page with ``width`` free; 0 where it is too little for them."""
    return width - BLOCK_WIDTH if width - BLOCK_WIDTH >= LEAST_BESIDE else 0.0


def flags_rule(context: Context) -> list[str]:
    """Where to read what the flags of a page mean, on paper with no room beside the title block for words about them; whether or not there are any, so that none moves anything."""
    sheet = findings_sheet(context)
    return [f"Number in a hexagon: finding of sheet {sheet.number}."] if sheet is not None and not has_flag_words(context) else []


def findings_sheet(context: Context) -> SheetRef | None:
    """The sheet that lists the findings."""
    return next((ref for ref in context.sheets if ref.kind is SheetKind.FINDINGS), None)


def has_flag_words(context: Context) -> bool:
    """Whether pages of this paper have room beside the title block for words about their flags."""
    return not context.paper.booklet and free_area(context.paper, "landscape").w - BLOCK_WIDTH >= LEAST_BESIDE


def is_full_width(width: float) -> bool:
    """Whether the title block of a page with ``width`` free takes all of it."""
    return width + 2 * CLEAR - BLOCK_WIDTH < SLACK


def change_row(context: Context, width: float) -> list[str]:
    """An empty line at the foot of a page with ``width`` free, where what changed is said there."""
    return [""] if context.since is not None and is_full_width(width) else []
