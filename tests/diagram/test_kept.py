"""A diagram that is read back equals one that is placed, and nothing but the same input brings it back."""

from __future__ import annotations

import contextlib
import os
import time
from dataclasses import replace

import pytest

from harnessdoc.diagram import kept
from harnessdoc.diagram.graph import End, Graph, Node, Piece, Port, Wire
from harnessdoc.diagram.kept import Kept
from harnessdoc.diagram.place import place
from harnessdoc.drawing.record import Area
from harnessdoc.sheets import label_places
from harnessdoc.sheets.label_places import Wanted, kept_labels, place_labels

PORTS = (Port("1", "top", 5.0), Port("2", "bottom", 5.0))
SMALL = Graph(
    {"F1": Node("F1", "box", (Port("2", "bottom", 5.0),), 10.0, 8.0), "S1": Node("S1", "bar", right=6.0), "H1": Node("H1", "box", PORTS, 10.0, 8.0), "H2": Node("H2", "box", PORTS, 10.0, 8.0)},
    {"1": Wire("1", End("F1", "2"), End("S1"), (Piece("1", apart=True), Piece("0.5"), Piece("RD"), Piece(swatch=("RD",)))),
     "2": Wire("2", End("S1"), End("H1", "1"), (Piece("2"),)), "3": Wire("3", End("S1"), End("H2", "1"), (Piece("3"),))},
)


def test_what_is_read_back_equals_what_is_placed(tmp_path, monkeypatch):
    first = Kept(tmp_path).place(SMALL, 120.0, 90.0)
    assert first == place(SMALL, 120.0, 90.0)
    assert len(list(tmp_path.iterdir())) == 1

    def never(*_, **__):
        raise AssertionError("placed again")

    monkeypatch.setattr(kept, "place", never)
    again = Kept(tmp_path).place(SMALL, 120.0, 90.0)
    assert again == first
    assert repr(again) == repr(first)
    # everything that goes in has a part in the key
    wider = replace(SMALL, wires={**SMALL.wires, "3": replace(SMALL.wires["3"], width=0.7)})
    for graph, width, start, quick in ((SMALL, 121.0, None, False), (wider, 120.0, None, False), (SMALL, 120.0, first.order, False), (SMALL, 120.0, None, True)):
        with pytest.raises(AssertionError, match="placed again"):
            Kept(tmp_path).place(graph, width, 90.0, start, quick=quick)


DAMAGES = {
    "nothing in it": lambda text: b"", "cut off": lambda text: text[: len(text) // 2], "other words": lambda text: b"{}", "no text": lambda text: b"\xff" + text[1:],
    "one figure": lambda text: text.replace(b"120.0", b"121.0", 1) if b"120.0" in text else text[:-5] + bytes([text[-5] ^ 1]) + text[-4:],
    "another's": lambda text: text.replace(b'"H1"', b'"H3"'), "deep": lambda text: b"[" * 100_000,
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_file_is_as_if_it_were_not_there_and_is_mended(tmp_path, damage):
    first = Kept(tmp_path).place(SMALL, 120.0, 90.0)
    (file,) = tmp_path.iterdir()
    whole = file.read_bytes()
    file.write_bytes(DAMAGES[damage](whole))
    assert file.read_bytes() != whole
    assert Kept(tmp_path).place(SMALL, 120.0, 90.0) == first
    assert file.read_bytes() == whole


def test_a_folder_that_cannot_be_written_costs_nothing(tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    placer = Kept(tmp_path / "file" / "folder")
    assert placer.place(SMALL, 120.0, 90.0) == place(SMALL, 120.0, 90.0)
    assert not placer.keeps()
    assert not Kept().keeps()
    assert Kept(tmp_path / "new" / "folder").keeps()


def test_another_program_takes_nothing_of_this_one(tmp_path, monkeypatch):
    """The key holds the source text and the versions of Python and the libraries as they were when they were imported."""
    Kept(tmp_path).place(SMALL, 120.0, 90.0)
    asked = []
    monkeypatch.setattr(kept, "place", lambda *args, **more: asked.append(args) or place(*args, **more))
    Kept(tmp_path).place(SMALL, 120.0, 90.0)
    assert not asked
    monkeypatch.setattr(kept, "_PROGRAM", "another")
    Kept(tmp_path).place(SMALL, 120.0, 90.0)
    assert len(asked) == 1


def test_labels_that_are_read_back_equal_those_placed_and_everything_that_goes_in_is_asked(tmp_path, monkeypatch):
    wanted, lines, boxes, patterns = [Wanted(20.0, 20.0, 10.0, 4.0), Wanted(21.0, 20.0, 10.0, 4.0), Wanted(90.0, 90.0, 400.0, 4.0)], [(0.0, 20.0, 90.0, 20.0)], [(18.0, 18.0, 22.0, 22.0)], [(0.0, 26.0, 90.0, 26.0)]
    first = kept_labels(Kept(tmp_path), wanted, lines, boxes, Area(0.0, 0.0, 100.0, 100.0), patterns)
    assert first == place_labels(wanted, lines, boxes, Area(0.0, 0.0, 100.0, 100.0), patterns) and None in first and any(first)
    monkeypatch.setattr(label_places, "place_labels", lambda *_, **__: pytest.fail("placed again"))
    again = kept_labels(Kept(tmp_path), wanted, lines, boxes, Area(0.0, 0.0, 100.0, 100.0), patterns)
    assert again == first and repr(again) == repr(first)
    for changed in ((wanted[:2], lines, boxes, 100.0, patterns, False), (wanted, [], boxes, 100.0, patterns, False), (wanted, lines, [], 100.0, patterns, False),
                    (wanted, lines, boxes, 99.0, patterns, False), (wanted, lines, boxes, 100.0, [], False), (wanted, lines, boxes, 100.0, patterns, True)):
        with pytest.raises(pytest.fail.Exception, match="placed again"):
            kept_labels(Kept(tmp_path), *changed[:3], Area(0.0, 0.0, changed[3], 100.0), changed[4], or_none=changed[5])


@pytest.mark.parametrize("touched", ["-place.py", "advances.json", "-plane.py"])
def test_every_source_is_part_of_the_program(tmp_path, monkeypatch, touched):
    before, sources = kept._program(), kept._sources()
    copies = [tmp_path / f"{number}-{file.name}" for number, file in enumerate(sources)]
    for file, copy in zip(sources, copies, strict=True):
        copy.write_bytes(file.read_bytes())
    monkeypatch.setattr(kept, "_sources", lambda: copies)
    assert kept._program() == before
    with next(copy for copy in copies if copy.name.endswith(touched)).open("a", encoding="utf-8") as file:
        file.write(" ")
    assert kept._program() != before
    assert kept._written() != kept._WRITTEN


def test_what_is_placed_after_the_source_was_changed_is_not_kept(tmp_path, monkeypatch):
    """The program in memory is then not that of the source text, and a later one must not take what this one makes."""
    monkeypatch.setattr(kept, "_written", lambda: [("place.py", 1, 1)])
    assert Kept(tmp_path).place(SMALL, 120.0, 90.0) == place(SMALL, 120.0, 90.0)
    assert not list(tmp_path.iterdir())


def test_the_folder_is_bounded(tmp_path, monkeypatch):
    """The files longest not written go first, and what stopped runs left; what is not of this program stays."""
    monkeypatch.setattr(kept, "MOST_MB", 0.004)
    monkeypatch.setattr(kept, "FEWER_MB", 0.002)
    now = time.time()
    for number in range(5):
        (tmp_path / f"{number}.placed").write_bytes(b"x" * 1000)
        os.utime(tmp_path / f"{number}.placed", (now - 100 + number, now - 100 + number))
    for name, age in (("stopped.begun", 2 * kept.LEFT_OVER_S), ("running.begun", 10), ("mine.txt", 10 * kept.LEFT_OVER_S)):
        (tmp_path / name).write_text("", encoding="utf-8")
        os.utime(tmp_path / name, (now - age, now - age))
    Kept(tmp_path).place(SMALL, 120.0, 90.0)
    (new,) = (file.name for file in tmp_path.iterdir() if len(file.name) > 60)
    assert sorted(file.name for file in tmp_path.iterdir()) == sorted(["3.placed", "4.placed", new, "mine.txt", "running.begun"])


def test_two_runs_may_clear_up_at_the_same_moment(tmp_path, monkeypatch):
    monkeypatch.setattr(kept, "MOST_MB", 0.0)
    monkeypatch.setattr(kept, "FEWER_MB", 0.0)
    (tmp_path / "old.placed").write_bytes(b"x" * 1000)
    scan = os.scandir

    def cleared_by_another(folder):
        entries = list(scan(folder))
        (tmp_path / "old.placed").unlink(missing_ok=True)
        return contextlib.nullcontext(entries)

    monkeypatch.setattr(kept.os, "scandir", cleared_by_another)
    assert Kept(tmp_path).place(SMALL, 120.0, 90.0) == place(SMALL, 120.0, 90.0)
    assert len(list(tmp_path.iterdir())) == 1
