"""Drawings the tests of the kit share: one page with every symbol, swatch and kind of cell."""

from __future__ import annotations

from harnessdoc.drawing import symbols
from harnessdoc.drawing.page import A4, TitleBlock, new_page
from harnessdoc.drawing.record import Drawing
from harnessdoc.drawing.swatch import SIZE, draw_swatch
from harnessdoc.drawing.table import (
    Band,
    Cell,
    Column,
    EmptyBox,
    LinkText,
    draw_table,
    lay_out,
)

IEC = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ", "GD", "SR")
BLOCK = TitleBlock(
    title="Engine control unit plug 1",
    document_type="Pinout",
    sheet="3.1",
    page=1,
    pages=2,
    owner="Test bench",
    identification="TB-3",
    created_by="A. Tester",
    date="2024-05-01",
    revision="B",
    made_from="bench.yaml",
)
TURNING = (
    symbols.fuse, symbols.fusible_link, symbols.resistor, symbols.diode, symbols.lamp,
    symbols.motor, symbols.coil, symbols.make_contact, symbols.changeover, symbols.plug,
    symbols.socket, symbols.ground,
)  # fmt: skip
COLUMNS = (
    Column("Cavity", 12, anchor="end"),
    Column("", 11),
    Column("Colour", 16),
    Column("Function"),
    Column("Far ends", 30),
    Column("Value", 20),
)


def rows(count: int) -> list:
    """Table rows with every kind of cell."""
    made: list = [Band("Spool of the test, 0.75 mm²")]
    for i in range(count):
        far = (LinkText("K8.85", "second"), "SP9 (5)") if i % 4 == 1 else LinkText("X30.4", "second")
        words = "crank sensor shield, joined to ground at the engine block near the sensor"
        made.append(
            (str(i + 1), Cell(lambda pen, x, y, w, h, i=i: draw_swatch(pen, x, y + 0.5, *SIZE, (IEC[i % 14], "WH")), min_width=SIZE[0]), f"{IEC[i % 14]}/WH",
             words if i % 3 == 0 else "start relay", far, EmptyBox(tag=f"value:{i + 1}"))
        )  # fmt: skip
    return made


def page() -> Drawing:
    """The page."""
    pen, area = new_page(A4, BLOCK)
    for i, code in enumerate((*IEC, "LT GN", "DK GN")):
        draw_swatch(pen, area.x + i % 8 * 21, area.y + i // 8 * 6, *SIZE, (code,), tag=code)
    draw_swatch(pen, area.x, area.y + 12, *SIZE, ("RD", "BK", "WH"))
    draw_swatch(pen, area.x + 21, area.y + 12, *SIZE, ())
    for i, symbol in enumerate(TURNING):
        symbol(pen, area.x + 6 + i * 14, area.y + 30)
        symbol(pen, area.x + 6 + i * 14, area.y + 45, turn=90)
    symbols.relay(pen, area.x + 15, area.y + 62, suppression="diode")
    symbols.relay(pen, area.x + 60, area.y + 62, changes_over=True, suppression="resistor")
    symbols.twisted_pair(pen, area.x + 100, area.y + 62, 5)
    symbols.shield(pen, area.x + 115, area.y + 62, 9, 4)
    pen.text(area.x + 130, area.y + 66, "upright Ω 47 kΩ", upright=True)
    pen.text(area.x + 136, area.y + 62, "smile \U0001f600 and \u202eback", weight="bold")
    layout = lay_out(COLUMNS, rows(12), area.w)
    draw_table(pen, area.x, area.y + 75, layout)
    pen.circle(area.x + 120, area.bottom - 22, 20)
    pen.arc(area.x + 150, area.bottom - 22, 20, -160, 70, 0.5)
    return pen.drawing()
