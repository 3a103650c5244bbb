"""Every symbol once, with its name, what it stands for and its ports: the list of all there are, and the sheet that shows them.

Takes nothing; ``draw_specimens`` gives one drawing, A4 upright, symbols in the size and, where they can be told, the line
width of circuit diagrams. A circuit draws by these alone: what it adds are frames, leads, ties, conductors and text.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from harnessdoc.drawing import symbols
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import WIDE, Drawing, Point
from harnessdoc.drawing.symbols import Terminals

SYMBOL = 0.35
"""Line width of symbols on a circuit diagram, mm."""
WIDTH, HEIGHT, MARGIN = 210.0, 297.0, 10.0
ACROSS = 5
CELL_HIGH = 43.0
MIDDLE = 12.0
"""From the top of a cell to the point of its symbol."""
NAME_AT, PITCH = 27.0, 3.9
"""From the top of a cell to the baseline of the name; between baselines."""
RING = 0.6
TEXT = 2.5


@dataclass(frozen=True, slots=True)
class Specimen:
    """A symbol, or one form of it.

    name:       in words; says: what it stands for
    draw:       at a point, upright; gives the ports
    reach:      left and right of its point, mm
    writes:     whether it prints the names of its ports itself
    conductors: where, right of its point, conductors run that it lies over
    """

    name: str
    says: str
    draw: Callable[[Pen, float, float], Terminals]
    reach: tuple[float, float] = (5.0, 5.0)
    writes: bool = False
    conductors: tuple[float, ...] = ()

    @property
    def ports(self) -> tuple[tuple[str, Point], ...]:
        """Name and place of each port from the symbol's point, mm right and down."""
        return tuple(self.draw(Pen(WIDTH, HEIGHT), 0.0, 0.0).items())


def _thin(symbol: Callable[..., Terminals], **form: object) -> Callable[[Pen, float, float], Terminals]:
    return partial(symbol, width=SYMBOL, **form)


SPECIMENS = (
    Specimen("Fuse", "opens when more than its rating flows", _thin(symbols.fuse)),
    Specimen("Fusible link", "a piece of thinner wire that melts", _thin(symbols.fusible_link)),
    Specimen("Resistor", "also any load with no symbol of its own", _thin(symbols.resistor)),
    Specimen("Diode", "lets current through toward the bar", _thin(symbols.diode)),
    Specimen("Lamp", "also a warning lamp", _thin(symbols.lamp)),
    Specimen("Motor", "also a pump or a fan", _thin(symbols.motor)),
    Specimen("Coil", "of a relay, a valve or an injector", _thin(symbols.coil)),
    Specimen("Battery", "short plate minus, long plate plus", _thin(symbols.battery)),
    Specimen("Contact, open at rest", "of a switch or a relay", _thin(symbols.switch)),
    Specimen("Contact, closed at rest", "of a switch or a relay", _thin(symbols.switch, closed=True)),
    Specimen("Make contact", "of a relay on its own sheet", _thin(symbols.make_contact)),
    Specimen("Changeover contact", "of a relay on its own sheet, at rest on 87a", _thin(symbols.changeover)),
    Specimen("Changeover at rest", "on 87a, between small circles", _thin(symbols.changeover_at_rest)),
    Specimen("Two contacts at rest", "of a relay with 87 and 87b", _thin(symbols.two_makes_at_rest)),
    Specimen("Coil with a diode", "across it, cathode at 86", _thin(symbols.suppressed_coil, suppression="diode"), (7.5, 5.0)),
    Specimen("Coil with a resistor", "across it", _thin(symbols.suppressed_coil, suppression="resistor"), (7.5, 5.0)),
    Specimen("Ground", "on frame, body or engine", _thin(symbols.ground)),
    Specimen("Earth", "a point that all is measured from", _thin(symbols.ground, kind="earth")),
    Specimen("Dot", "wires are joined; lines that cross without one are not", partial(symbols.splice_dot, radius=0.75)),
    Specimen("Open end", "goes on nowhere, or nobody knows where", _thin(symbols.open_end)),
    Specimen("Plug", "half of a contact, with the pin", _thin(symbols.plug)),
    Specimen("Socket", "half of a contact, takes the pin", _thin(symbols.socket)),
    Specimen("Mated halves", "one cavity of an in-line connector", _thin(symbols.mated)),
    Specimen("Twisted pair", "lies over its two wires", partial(symbols.twisted_pair, gap=8.0), conductors=(-4.0, 4.0)),
    Specimen("Shield", "round the wires in it, with its drain", partial(symbols.shield, w=11.2, h=3.8), (5.6, 5.6), conductors=(-4.0, 4.0)),
    Specimen("Relay", "coil and contact at rest, tied by a broken line", symbols.relay, (3.5, 13.0), True),
    Specimen("Relay with a diode", "the diode takes the voltage of the coil when it is switched off", partial(symbols.relay, suppression="diode"), (11.5, 13.0), True),
    Specimen("Relay with a resistor", "changing over; the resistor does what the diode does", partial(symbols.relay, changes_over=True, suppression="resistor"), (11.0, 15.0), True),
)
"""All of them: a new symbol has its row here."""


def draw_specimens() -> Drawing:
    """The sheet."""
    pen = Pen(WIDTH, HEIGHT)
    pen.text(MARGIN, MARGIN + 4.0, "Symbols", 5.0, weight="bold")
    pen.text(MARGIN + 30.0, MARGIN + 4.0, "In true size. A ring with a name marks a port: there a wire meets the symbol.", TEXT)
    cell = (WIDTH - 2 * MARGIN) / ACROSS
    for place, one in enumerate(SPECIMENS):
        left, top = MARGIN + place % ACROSS * cell, MARGIN + 12.0 + place // ACROSS * CELL_HIGH
        _draw_one(pen, one, left, top, cell)
    return pen.drawing()


def _draw_one(pen: Pen, one: Specimen, left: float, top: float, width: float) -> None:
    tag = f"symbol:{one.name}"
    x, y = left + width / 2 + (one.reach[0] - one.reach[1]) / 2, top + MIDDLE
    for offset in one.conductors:
        pen.line(x + offset, y - 6.0, x + offset, y + 2.5, WIDE, tag=f"conductor:{one.name}")
    for port, (px, py) in one.draw(pen, x, y).items():
        pen.circle(px, py, RING, tag=f"port:{one.name}")
        if not one.writes:
            before, lift = px < x - 0.1, (py > y) - (py < y)
            pen.text(px + (-1.6 if before else 1.6), py + (1 + lift) * TEXT / 2, port, TEXT, "end" if before else "start", tag=f"port:{one.name}")
    pen.text(left + width / 2, top + NAME_AT, one.name, TEXT, "middle", "bold", tag=tag)
    for line, words in enumerate(pen.wrap(one.says, width - 4.0, TEXT), start=1):
        pen.text(left + width / 2, top + NAME_AT + line * PITCH, words, TEXT, "middle", tag=tag)
