"""The README's pictures and console blocks, made anew: ``python tests/refresh_readme.py``.

``tests/test_readme.py`` compares what stands in the repository with what these
functions make, so that the README cannot fall behind the program.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from pathlib import Path

from click.testing import CliRunner

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.cli.main import harnessdoc
from harnessdoc.drawing.specimen import draw_specimens
from harnessdoc.drawing.svg import to_svg
from harnessdoc.sheets.context import Options
from harnessdoc.steps import draw_exchange, load

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
DOCS = ROOT / "docs"
CHANGED = "changed"
PICTURES = {
    "circuit": ("linnet", "circuit-charging"),
    "pinout": ("linnet", "E1"),
    "first-wires": ("first-wires", "X1"),
    "splices": ("linnet", "splices-1"),
    "cut-list": ("linnet", "cut-list"),
    "joins": ("heron-linnet", "joins"),
    CHANGED: ("first-wires", "X1"),
}
"""Picture in out/readme -> example, and the sheet whose first page it is; CHANGED is that of a second version."""
DRAWN = {"symbols": draw_specimens}
"""Picture in docs -> what draws it."""
_CONSOLE = re.compile(r"```console\n\$ harnessdoc ([^\n]*)\n(.*?)```", re.DOTALL)
_FIRST = "first-wires.yaml"
_CHANGES = (("from: X1.1, to: X2.1, size: 1.5 mm2", "from: X1.1, to: X2.1, size: 2.5 mm2"), ("from: X1.4, to: unknown", "from: X1.4, to: X2.4"))
"""What is changed in the first file to show a second version."""


def changed(text: str) -> str:
    """The first file a week later."""
    for was, now in _CHANGES:
        if was not in text:
            raise ValueError(f"the first file has no '{was}'")
        text = text.replace(was, now)
    return text


def merge_shown(readme: str) -> str:
    """The merge file that the README shows: the second of its blocks of YAML."""
    return re.findall(r"```yaml\n(.*?)```", readme, re.DOTALL)[1]


def picture_of_a_change() -> str:
    """The SVG text of a marked sheet."""
    text = (ROOT / "examples" / "first-wires" / _FIRST).read_text(encoding="utf-8")
    book = draw_exchange(load(_FIRST, {_FIRST: text}), load(_FIRST, {_FIRST: changed(text)}))
    return to_svg(next(sheet for sheet in book.sheets if sheet.ref.name == "pinout-X1").pages[0])


def picture(name: str) -> str:
    """The SVG text of a picture."""
    if name == CHANGED:
        return picture_of_a_change()
    example, wanted = PICTURES[name]
    loaded = load(ROOT / "examples" / example / f"{example}.yaml")
    context = make_context(loaded.version, Options())
    ref = context.sheet_of.get(wanted) or next(ref for ref in context.sheets if ref.name == wanted)
    return to_svg(draw_sheet(context, ref).pages[0])


def docs_picture(name: str) -> str:
    """The SVG text of a picture of the docs."""
    return to_svg(DRAWN[name]())


def consoles(readme: str) -> dict[str, str]:
    """Every command of the README's console blocks -> what it prints, run in an empty folder."""
    printed = {}
    here = os.getcwd()
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(ROOT / "examples" / "first-wires" / _FIRST, folder)
        for example in ("linnet", "heron"):
            shutil.copy(ROOT / "examples" / example / f"{example}.yaml", folder)
        Path(folder, "merge.yaml").write_text(merge_shown(readme), encoding="utf-8")
        text = Path(folder, _FIRST).read_text(encoding="utf-8")
        Path(folder, "slip.yaml").write_text(text.replace("from: X1.4", "from: X1.5"), encoding="utf-8")
        Path(folder, "changed.yaml").write_text(changed(text), encoding="utf-8")
        os.chdir(folder)
        try:
            for match in _CONSOLE.finditer(readme):
                printed[match[1]] = CliRunner().invoke(harnessdoc, match[1].split()).output
        finally:
            os.chdir(here)
    return printed


def with_consoles(readme: str) -> str:
    """The README with the present output in every console block."""
    printed = consoles(readme)
    return _CONSOLE.sub(lambda match: f"```console\n$ harnessdoc {match[1]}\n{printed[match[1]].rstrip()}\n```", readme)


if __name__ == "__main__":
    folder = ROOT / "out" / "readme"
    folder.mkdir(parents=True, exist_ok=True)
    for name in PICTURES:
        (folder / f"{name}.svg").write_text(picture(name), encoding="utf-8", newline="\n")
    for name in DRAWN:
        (DOCS / f"{name}.svg").write_text(docs_picture(name), encoding="utf-8", newline="\n")
    README.write_text(with_consoles(README.read_text(encoding="utf-8")), encoding="utf-8")
