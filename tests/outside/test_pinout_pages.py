"""The pinout pages of the PDF, read back: cavity, wire, colour and far ends of every row.

What should stand there is worked out from the raw file by PyYAML and networkx, without
any code of the program. What does stand there is read from the PDF by pypdfium2
(tests/read_pinout.py).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import networkx
import pytest
import yaml
from read_pinout import rows_of

from harnessdoc.book.bind import pdf_bytes, pdf_pages
from harnessdoc.book.draw import Book, draw_sheet, make_context
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.steps import Loaded, load
from outside.test_kbl import description

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
LEAST_ROWS = {"linnet": 150, "first-wires": 7, "trailer-lead": 14, "diagnostic-socket": 7}
"""Examples of one file, and how many rows their pages have at least: so many are compared."""
CROWDED = 3
"""More far ends than this behind one splice are printed as the splice with their count."""
_FAR_END = re.compile(r"^(?P<what>.+?)(?: \((?P<count>\d+) ends\))?(?: → \d+)?$")


@dataclass(frozen=True)
class Raw:
    """The raw file: wires as written, and the graph of their ends."""

    wires: dict[str, dict[str, str]]
    splices: set[str]
    graph: networkx.MultiGraph


def raw_of(text: str, folder: Path | None = None) -> Raw:
    document = yaml.load(text, Loader=yaml.BaseLoader)
    wires = dict(document.get("wires") or {})
    table = (document.get("tables") or {}).get("wires")
    if table:
        head, *rows = [line.split(",") for line in (folder / table).read_text(encoding="utf-8").splitlines()]
        wires |= {row[0]: dict(zip(head[1:], row[1:], strict=True)) for row in rows}
    graph = networkx.MultiGraph()
    for number, wire in wires.items():
        ends = [wire[key] if wire[key] not in ("unknown", "open") else f"{wire[key]} end of {number}" for key in ("from", "to")]
        graph.add_edge(*ends, key=number)
    return Raw(wires, set(document.get("splices") or {}), graph)


def far_ends(raw: Raw, address: str) -> set[str]:
    """Far ends as they are to be printed; an unknown end is an empty box, without words."""
    found: set[str] = set()
    through = raw.graph.subgraph(raw.splices)
    for _, near in raw.graph.edges(address):
        if near not in raw.splices:
            found.add(near)
            continue
        joined = networkx.node_connected_component(through, near)
        ends = {(far, number) for splice in joined for _, far, number in raw.graph.edges(splice, keys=True) if far not in joined and far != address}
        found |= {f"{near} ({len(ends)} ends)"} if len(ends) > CROWDED else {far for far, _ in ends}
    return {"open" if end.startswith("open end of ") else end for end in found if not end.startswith("unknown end of ")}


def printed_far_ends(lines: list[str]) -> set[str]:
    matches = [_FAR_END.match(line) for line in lines]
    return {f"{match['what']} ({match['count']} ends)" if match["count"] else match["what"] for match in matches if match}


def compare(raw: Raw, loaded: Loaded) -> int:
    """Compare every pinout sheet with the raw file; how many rows were compared."""
    assert not loaded.has_errors, loaded.findings
    context = make_context(loaded.version, Options())
    seen = 0
    for ref in context.sheets:
        if ref.kind is not SheetKind.PINOUT:
            continue
        book = Book(context, (draw_sheet(context, ref),))
        printed = rows_of(pdf_bytes(book, pdf_pages(book)), ref.subjects)
        assert set(printed) == {node for node in raw.graph if node.rpartition(".")[0] in ref.subjects}
        for address, row in printed.items():
            numbers = sorted(number for _, _, number in raw.graph.edges(address, keys=True))
            assert sorted(row["Wire"]) == numbers, address
            colours = sorted(colour for number in numbers if (colour := raw.wires[number].get("colour", "unknown")) != "unknown")
            assert sorted(row["Colour"]) == colours, address
            assert printed_far_ends(row["Far end"]) == far_ends(raw, address), address
        seen += len(printed)
    return seen


@pytest.mark.outside("networkx and PyYAML on the raw file, pypdfium2 on the PDF")
@pytest.mark.parametrize("name", LEAST_ROWS)
def test_every_row_of_every_pinout_page(name: str) -> None:
    file = EXAMPLES / name / f"{name}.yaml"
    assert compare(raw_of(file.read_text(encoding="utf-8"), file.parent), load(file)) >= LEAST_ROWS[name]


@pytest.mark.outside("published example harness, prostep ivip ECAD wiki, engine (KBL, VDA 4964)", needs=("data:kbl",))
def test_the_published_harness_goes_through_the_same_path(outside_data: Path) -> None:
    text = description(outside_data, {})
    assert compare(raw_of(text), load("engine.yaml", {"engine.yaml": text})) == 28


def test_a_row_that_lies_is_seen() -> None:
    file = EXAMPLES / "first-wires" / "first-wires.yaml"
    text = file.read_text(encoding="utf-8")
    other = text.replace("to: X2.3", "to: X2.4")
    assert other != text
    with pytest.raises(AssertionError):
        compare(raw_of(text), load("t.yaml", {"t.yaml": other}))
