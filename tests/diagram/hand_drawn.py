"""A small circuit diagram drawn by hand, with everything the reader has to know, and what it says.

``page()`` gives the Drawing, ``NETS`` the sets of addresses that it joins.
"""

from __future__ import annotations

from harnessdoc.drawing import symbols
from harnessdoc.drawing.page import A4, TitleBlock, new_page
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Drawing

NETS = {
    frozenset({"FB1.30", "F1.1", "F2.1"}),
    frozenset({"F1.2", "SP1", "X5.1", "K1.86", "K1.30"}),
    frozenset({"F2.2", "E1.3"}),
    frozenset({"X5.2", "GR1", "X9.2"}),
    frozenset({"K1.85", "E1.1"}),
    frozenset({"K1.87", "C1.4", "C2.4", "X9.1"}),
    frozenset({"E1.7", "N1.1"}),
    frozenset({"E1.8", "N1.2", "SP2", "SP3"}),
}


def page() -> Drawing:
    pen, _ = new_page(A4, TitleBlock("hand drawn", "Circuit diagram", "1"), "landscape")
    conductor = 0.5
    pen.text(101, 26.25, "FB1.30", 2.5, weight="bold")
    pen.line(40, 25, 100, 25, conductor)
    for x in (40, 100):
        pen.dot(x, 25, 0.75)
    for name, x in (("F1", 40), ("F2", 100)):
        symbols.fuse(pen, x, 30)
        pen.text(x + 3, 30, name, 2.5, weight="bold")
        pen.text(x + 3, 34, "10 A", 2.5)
    # the splice: fed from above at its left end, three ways down
    pen.polyline([(40, 35), (40, 50)], conductor)
    pen.line(40, 50, 80, 50, conductor)
    pen.text(81, 51.25, "SP1", 2.5, weight="bold")
    for x in (40, 60, 80):
        pen.dot(x, 50, 0.75)
    pen.text(41, 48, "1 1 RD", 2.5)
    # a lamp under its left end
    pen.polyline([(40, 50), (40, 72)], conductor)
    pen.text(41, 62, "2 1 RD", 2.5)
    symbols.lamp(pen, 40, 80)
    _leads(pen, 40, 80)
    pen.text(44, 81.2, "H1", 2.5, weight="bold")
    pen.text(40.8, 74.7, "X5.1", 2.5)
    pen.text(40.8, 87.8, "X5.2", 2.5)
    pen.polyline([(40, 88), (40, 130)], conductor)
    pen.text(41, 100, "3 1 BK", 2.5)
    _ground(pen, 40, 130, "GR1")
    # a relay
    pen.rect(55, 70, 30, 14, 0.35)
    for x, top, bottom in ((60, "86", "85"), (80, "30", "87")):
        pen.text(x + 0.8, 73.5, top, 2.5)
        pen.text(x + 0.8, 83, bottom, 2.5)
        pen.line(x, 70, x, 74, 0.35)
        pen.line(x, 80, x, 84, 0.35)
    pen.rect(57, 74, 6, 6, 0.35)
    pen.line(80, 80, 78, 75, 0.35)
    pen.text(86, 76, "K1", 2.5, weight="bold")
    pen.polyline([(60, 50), (60, 70)], conductor)
    pen.text(61, 60, "4 0.5 RD", 2.5)
    pen.polyline([(80, 50), (80, 70)], conductor)
    pen.text(81, 60, "5 1.5 RD", 2.5)
    # coil to the unit, across the feed of the unit
    pen.polyline([(60, 84), (60, 95), (130, 95), (130, 100)], conductor)
    pen.text(61, 94, "6 0.5 GN", 2.5)
    pen.polyline([(100, 35), (100, 60), (120, 60), (120, 100)], conductor)
    pen.text(101, 42, "7 1 RD/BK", 2.5)
    pen.rect(112, 100, 60, 20, 0.35, dash=(3.0, 1.5))
    pen.text(142, 111, "U1 CONTROL UNIT", 2.5, "middle", "bold")
    for x, name in ((120, "E1.3"), (130, "E1.1")):
        pen.text(x, 103.5, name, 2.5, "middle")
    for x, name in ((150, "E1.7"), (160, "E1.8")):
        pen.text(x, 119, name, 2.5, "middle")
    # a twisted pair to a sensor; a splice of two lines at one of its wires, and one behind it
    for x, number in ((150, "8"), (160, "9")):
        pen.polyline([(x, 120), (x, 132)], conductor)
        pen.text(x + 1, 126, number, 2.5)
    pen.line(150, 132, 150, 136, conductor)
    pen.line(160, 132, 160, 136, conductor)
    symbols.twisted_pair(pen, 155, 134, 10)
    pen.polyline([(150, 136), (150, 150)], conductor)
    pen.polyline([(160, 136), (160, 140)], conductor)
    pen.dot(160, 140, 0.75)
    pen.text(161, 141.25, "SP2", 2.5, weight="bold")
    pen.polyline([(160, 140), (160, 146)], conductor)
    pen.text(156, 144.5, "10", 2.5)
    pen.dot(160, 146, 0.75)
    pen.line(160, 146, 168, 146, conductor)
    pen.dot(168, 146, 0.75)
    pen.text(169, 147.25, "SP3", 2.5, weight="bold")
    pen.polyline([(168, 146), (168, 150)], conductor)
    pen.rect(145, 150, 30, 12, 0.35)
    pen.text(155, 161, "N1", 2.5, weight="bold")
    pen.text(150, 153.5, "1", 2.5, "middle")
    pen.text(168, 153.5, "2", 2.5, "middle")
    # contact of the relay through a connector to a motor
    pen.polyline([(80, 84), (80, 104)], conductor)
    pen.text(81, 90, "11 2.5 GN", 2.5)
    symbols.plug(pen, 80, 109)
    symbols.socket(pen, 80, 109)
    pen.text(81.5, 107, "C1.4", 2.5)
    pen.text(81.5, 113, "C2.4", 2.5)
    pen.polyline([(80, 114), (80, 122)], conductor)
    symbols.motor(pen, 80, 130)
    _leads(pen, 80, 130)
    pen.text(84, 131.2, "M1", 2.5, weight="bold")
    pen.text(80.8, 124.7, "X9.1", 2.5)
    pen.text(80.8, 137.8, "X9.2", 2.5)
    pen.polyline([(80, 138), (80, 150)], conductor)
    _ground(pen, 80, 150, "GR1")
    return pen.drawing()


def _leads(pen: Pen, x: float, y: float) -> None:
    """Longer leads of a symbol, with room for what is printed beside them."""
    pen.line(x, y - 8, x, y - 5, 0.35)
    pen.line(x, y + 5, x, y + 8, 0.35)


def _ground(pen: Pen, x: float, y: float, name: str) -> None:
    pen.line(x, y, x, y + 2.5, 0.35)
    for depth, half in ((2.5, 2.5), (3.5, 1.6), (4.5, 0.7)):
        pen.line(x - half, y + depth, x + half, y + depth, 0.35)
    pen.text(x, y + 8, name, 2.5, "middle", "bold")
