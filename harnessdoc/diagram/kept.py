"""What was placed, kept in a folder, so that a page that did not change is not placed again.

A diagram is kept under a key of all that goes in: the graph, the area, the start, and the program that places it (its
source text and the versions of Python and of its libraries). What is read back equals what would be placed. A file that is
damaged, or cannot be read or written, is as if it were not there; nothing of it reaches the user. `Kept.value` keeps
anything else that takes long to place in the same way.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
import os
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

from .graph import Graph, Piece
from .place import STARTS, place
from .placed import Order, Placed, PlacedLabel, PlacedNode

MOST_MB, FEWER_MB = 100, 70
"""Where the folder holds more than the first, the files longest not written go until the second is left."""
WHOLE, BEGUN = ".placed", ".begun"
LEFT_OVER_S = 3600
"""A file that is still being written after so long belongs to a run that was stopped."""


T = TypeVar("T")


class Kept:
    """Places diagrams, or takes them from ``folder``; without a folder all are placed."""

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder
        self._known: dict[str, Any] = {}
        self._is_cleared = False

    def keeps(self) -> bool:
        """Whether it has a folder that it may write into."""
        try:
            if self._folder is not None:
                self._folder.mkdir(parents=True, exist_ok=True)
        except OSError:
            return False
        return self._folder is not None and os.access(self._folder, os.W_OK)

    def place(self, graph: Graph, width_mm: float, height_mm: float, start: Order | None = None, *, starts: int = STARTS, quick: bool = False) -> Placed:
        """As `place.place`."""
        asked = repr((list(graph.nodes.values()), list(graph.wires.values()), graph.text_height, width_mm, height_mm, _order(start) if start else None, starts, quick))
        return self.value(asked, lambda: place(graph, width_mm, height_mm, start, starts=starts, quick=quick), _plain, _placed)

    def value(self, asked: str, make: Callable[[], T], plain: Callable[[T], Any], back: Callable[[Any], T]) -> T:
        """What ``make`` gives, taken from the folder where the same was asked before.

        ``asked`` holds all that goes in; ``plain`` turns what is made into values that JSON has, ``back`` turns them back into the same.
        """
        key = _digest(repr((_PROGRAM, asked)))
        if key not in self._known:
            said = self._read(key)
            if said is None:
                self._known[key] = made = make()
                self._write(key, plain(made))
            else:
                self._known[key] = back(said)
        return self._known[key]

    def kept_in(self, folder: Path) -> Kept:
        """One that places alike and keeps in another folder."""
        return Kept(folder)

    def _clear_old(self, folder: Path) -> None:
        """Drops the files longest not written where they hold too much, and what runs that were stopped left."""
        files = []
        with os.scandir(folder) as entries:
            for entry in entries:
                if entry.name.endswith((WHOLE, BEGUN)):
                    # another run may clear up at the same moment
                    with suppress(FileNotFoundError):
                        found = entry.stat()
                        files.append((found.st_mtime, entry.name, found.st_size))
        old = [name for written, name, _ in files if name.endswith(BEGUN) and written < time.time() - LEFT_OVER_S]
        too_much = sum(size for *_, size in files) - FEWER_MB * 1e6
        if too_much > (MOST_MB - FEWER_MB) * 1e6:
            for _, name, size in sorted(files):
                if too_much <= 0:
                    break
                old.append(name)
                too_much -= size
        for name in old:
            (folder / name).unlink(missing_ok=True)

    def _read(self, key: str) -> Any:
        if self._folder is None:
            return None
        try:
            digest, _, text = (self._folder / f"{key}{WHOLE}").read_text(encoding="utf-8").partition("\n")
        except (OSError, ValueError):
            return None
        return json.loads(text) if digest == _digest(text) else None

    def _write(self, key: str, said: Any) -> None:
        # where the source text was changed since it was imported, what is placed is not what the key says
        if self._folder is None or _written() != _WRITTEN:
            return
        text = json.dumps(said)
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            if not self._is_cleared:
                self._clear_old(self._folder)
                self._is_cleared = True
            # written aside and moved: another run may read at the same moment
            with tempfile.NamedTemporaryFile("w", encoding="utf-8", dir=self._folder, suffix=BEGUN, delete=False) as file:
                file.write(f"{_digest(text)}\n{text}")
            os.replace(file.name, self._folder / f"{key}{WHOLE}")
        except OSError:
            return


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _sources() -> list[Path]:
    """The files that decide a picture: this package, the widths of letters, and what places the labels of a layout."""
    here = Path(__file__).parent
    return [*sorted(here.glob("*.py")), *(here.parent / "drawing" / name for name in ("lettering.py", "font/advances.json")), *(here.parent / "sheets" / name for name in ("label_places.py", "plane.py"))]


def _written() -> list[tuple[str, int, int]]:
    """Their names, sizes and when they were written."""
    with suppress(FileNotFoundError):
        return [(file.name, found.st_size, found.st_mtime_ns) for file in _sources() for found in (file.stat(),)]
    return []


def _program() -> str:
    """What of the program decides a picture: their text, and the versions of Python, numpy and scipy."""
    versions = (sys.version, *map(importlib.metadata.version, ("numpy", "scipy")))
    return hashlib.sha256(b"".join((*(version.encode() for version in versions), *(file.read_bytes() for file in _sources())))).hexdigest()


# as they are when they are imported: where they are changed later, this program still places as they were
_WRITTEN = _written()
_PROGRAM = _program()


# -------------------------------------------------------------- to plain values and back

def _order(order: Order) -> dict[str, Any]:
    return {"levels": dict(order.levels), "ranks": dict(order.ranks), "ways": {wire: list(ranks) for wire, ranks in order.ways.items()}, "mirrored": list(order.mirrored)}


def _plain(placed: Placed) -> dict[str, Any]:
    return {
        "nodes": {id: [node.x, node.y, node.w, node.h, node.mirrored, {name: list(at) for name, at in node.ports.items()}] for id, node in placed.nodes.items()},
        "wires": {id: [list(at) for at in line] for id, line in placed.wires.items()},
        "labels": [[one.wire, one.x, one.y, one.w, one.h, [[[piece.text, list(piece.swatch), piece.apart] for piece in line] for line in one.lines], one.upright] for one in placed.labels],
        "merged": dict(placed.merged), "order": _order(placed.order), "over_mm": list(placed.over_mm), "crossings": placed.crossings, "bends": placed.bends,
    }


def _placed(said: Mapping[str, Any]) -> Placed:
    return Placed(
        {id: PlacedNode(x, y, w, h, mirrored, {name: tuple(at) for name, at in ports.items()}) for id, (x, y, w, h, mirrored, ports) in said["nodes"].items()},
        {id: tuple(tuple(at) for at in line) for id, line in said["wires"].items()},
        tuple(PlacedLabel(wire, x, y, w, h, tuple(tuple(Piece(text, tuple(swatch), apart) for text, swatch, apart in line) for line in lines), upright)
              for wire, x, y, w, h, lines, upright in said["labels"]),
        said["merged"], _order_of(said["order"]), tuple(said["over_mm"]), said["crossings"], said["bends"],
    )


def _order_of(said: Mapping[str, Any]) -> Order:
    return Order(said["levels"], said["ranks"], {wire: tuple(ranks) for wire, ranks in said["ways"].items()}, tuple(said["mirrored"]))
