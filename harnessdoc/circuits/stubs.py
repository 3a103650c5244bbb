"""What a page shows of a thing only by a contact: a frame with a broken edge, the contact, what the thing is called, and where its circuit goes on.

A page of distribution ends there: what lies beyond is drawn on the circuit diagrams.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..drawing.lettering import text_width
from .boxes import Pin, unit
from .figure import TEXT, Figure, Line, lines_of
from .printed import Printed
from .strands import Strands

NARROW = 19.0
"""Where the words of a frame with one contact break, in mm; those of several have as much for each."""
WIDEST = 60.0
MOST_NAME, MOST_GOES_ON, MOST_FUNCTION = 3, 4, 2


@dataclass(frozen=True, slots=True)
class Cut:
    """stubs: contact -> the frame it stands in (contacts of one frame share it); by default nothing is cut.

    joins_grounds: all wires of a ground end on one bar above one symbol, as they do on its stud; else each has a symbol
    """

    stubs: Mapping[str, str] = field(default_factory=dict)
    joins_grounds: bool = False


def stub(strands: Strands, printed: Printed, node: str, ports: Mapping[str, str]) -> Figure:
    """ports: address -> side, all of one thing."""
    harness = strands.harness
    first = next(iter(ports))
    owner = strands.owner(first)
    title = next((things[owner].title for things in (harness.devices, harness.connectors, harness.parts) if owner in things), "")
    goes_on = printed.goes_on(tuple(ports))
    # no word is broken
    width = max(min(NARROW * len(ports), WIDEST), *(text_width(word, TEXT) + 0.01 for said in goes_on for word in said.split()), 0.0)
    pins = [Pin(address, side, (Line(address), *(reversed(printed.function(address, MOST_FUNCTION)) if side == "bottom" else ()))) for address, side in ports.items()]
    name = [*printed.name(owner, title, width, MOST_NAME), *(line for said in goes_on for line in lines_of(said, width, MOST_GOES_ON))]
    return unit(node, owner, name, pins, is_part=True, kind="stub")
