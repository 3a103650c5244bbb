"""Imports go one way, and the start stays light: the import graph read from the source text.

A room may import only rooms to its left. Imports inside functions and under
``TYPE_CHECKING`` count too: they tie the rooms together just the same.
"""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "harnessdoc"

BASE = ("findings", "trade", "description", "model")
MAY_IMPORT: dict[str, tuple[str, ...]] = {
    "findings": (),
    "trade": BASE[:1],
    "description": BASE[:2],
    "model": BASE[:3],
    "network": BASE,
    "geometry": BASE,
    "electric": (),
    "operation": (*BASE, "network", "geometry", "electric"),
    "judgement": (*BASE, "network", "geometry", "electric", "operation"),
    "merge": (*BASE, "network", "geometry", "electric", "operation", "judgement"),
    "rules": (*BASE, "network", "geometry", "operation", "judgement", "merge"),
    "revision": (*BASE, "network", "geometry", "operation", "judgement", "merge", "rules"),
    "drawing": ("findings", "trade"),
    "diagram": ("drawing",),
    "circuits": (*BASE, "network", "drawing", "diagram"),
    "overview": BASE,
    "sheets": (*BASE, "network", "geometry", "operation", "judgement", "merge", "rules", "revision", "drawing", "diagram", "circuits", "overview"),
    "book": (*BASE, "network", "geometry", "operation", "judgement", "merge", "rules", "revision", "drawing", "diagram", "circuits", "overview", "sheets"),
    "steps": (*BASE, "network", "geometry", "operation", "judgement", "merge", "rules", "revision", "drawing", "diagram", "circuits", "overview", "sheets", "book"),
    "cli": (*BASE, "network", "geometry", "operation", "judgement", "merge", "rules", "revision", "drawing", "diagram", "circuits", "overview", "sheets", "book", "steps"),
    "__main__": ("cli",),
}
"""Room -> the other rooms it may import (design, section 2)."""

HEAVY = ("svgwrite", "fpdf", "fontTools", "cairosvg", "cairocffi", "numpy", "scipy", "PIL", "jsonschema_rs")
"""Libraries that only the step that needs them may load."""


def room_of(module: str) -> str:
    """The room of ``harnessdoc.ROOM.anything``; the package itself is "harnessdoc"."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else parts[0]


def imported_modules(module: str, is_package: bool, source: str) -> list[tuple[int, str]]:
    """(line, absolute name) of all that ``source``, the text of ``module``, imports of harnessdoc."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [(node.lineno, alias.name) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            origin = module.split(".")[:len(module.split(".")) + is_package - node.level] if node.level else []
            stem = ".".join([*origin, *([node.module] if node.module else [])])
            # `from harnessdoc import trade` names a room only in its second half.
            found += [(node.lineno, f"{stem}.{alias.name}") for alias in node.names]
    return [(line, name) for line, name in sorted(found) if name.split(".")[0] == "harnessdoc"]


def import_faults(module: str, is_package: bool, source: str) -> list[str]:
    """What ``source`` imports against the order of the rooms, one line a fault."""
    here = room_of(module)
    if here == "harnessdoc":   # the API at the top may reach what it offers
        return []
    if here not in MAY_IMPORT:
        return [f"{module}: the room {here} has no line in MAY_IMPORT"]
    return [f"{module}:{line}: {here} imports {room_of(name)}"
            for line, name in imported_modules(module, is_package, source)
            if room_of(name) not in (here, *MAY_IMPORT[here])]


def all_modules() -> list[tuple[str, Path]]:
    paths = sorted(PACKAGE.rglob("*.py"))
    return [(".".join([PACKAGE.name, *path.relative_to(PACKAGE).with_suffix("").parts]).removesuffix(".__init__"), path)
            for path in paths]


def test_rooms_import_only_rooms_to_their_left():
    faults = [fault for module, path in all_modules()
              for fault in import_faults(module, path.name == "__init__.py", path.read_text(encoding="utf-8"))]
    assert faults == []


def test_the_order_allows_no_way_back():
    for room, allowed in MAY_IMPORT.items():
        assert all(room not in MAY_IMPORT[other] for other in allowed), room


@pytest.mark.parametrize("module, source, fault", [
    ("harnessdoc.trade.colours", "from ..model.harness import Wire", "trade imports model"),
    ("harnessdoc.trade.colours", "import harnessdoc.model.harness", "trade imports model"),
    ("harnessdoc.trade.colours", "from harnessdoc import model", "trade imports model"),
    ("harnessdoc.trade.colours", "from harnessdoc.model import harness", "trade imports model"),
    ("harnessdoc.trade.colours", "from .. import model", "trade imports model"),
    ("harnessdoc.trade.colours", "def f():\n    from ..model import harness", "trade imports model"),
    ("harnessdoc.geometry.routes", "from ..network.islands import find", "geometry imports network"),
    ("harnessdoc.network.islands", "from ..geometry.routes import route", "network imports geometry"),
    ("harnessdoc.drawing.svg", "from ..model.harness import Wire", "drawing imports model"),
    ("harnessdoc.drawing.svg", "from ..rules import show", "drawing imports rules"),
    ("harnessdoc.findings", "from .trade import colours", "findings imports trade"),
    ("harnessdoc.book.pdf", "from ..cli.main import main", "book imports cli"),
    ("harnessdoc.sheets.pinout", "from .. import load", "sheets imports load"),
    ("harnessdoc.garage.door", "", "the room garage has no line in MAY_IMPORT"),
])
def test_a_planted_import_is_found(module, source, fault):
    faults = import_faults(module, False, source)
    assert len(faults) == 1 and faults[0].endswith(fault)


def test_a_planted_import_in_a_package_file_is_found():
    assert import_faults("harnessdoc.trade", True, "from ..model import harness") == [
        "harnessdoc.trade:1: trade imports model"]


@pytest.mark.parametrize("module, source", [
    ("harnessdoc.trade.colours", "from .tables import read\nfrom ..findings import Finding\nimport csv"),
    ("harnessdoc.trade.colours", "from . import tables"),
    ("harnessdoc.cli.main", "from .. import steps\nfrom ..book import bind\nimport click"),
    ("harnessdoc.cli.main", "import harnessdoc_of_another"),
])
def test_an_import_to_the_left_is_allowed(module, source):
    assert import_faults(module, False, source) == []


def loaded_after(statement: str) -> list[str]:
    """Heavy libraries in memory of a fresh Python after the statement."""
    code = f"{statement}\nimport sys\nprint(*sorted(set({HEAVY!r}) & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def test_the_start_loads_no_heavy_library():
    assert loaded_after("import harnessdoc.cli.main") == []


def test_a_heavy_library_at_the_start_would_be_seen():
    assert loaded_after("import svgwrite, jsonschema_rs") == ["jsonschema_rs", "svgwrite"]
