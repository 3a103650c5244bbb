"""Diagrams placed by processes of their own, kept or not, are the same pages byte for byte as those placed one after another."""

from __future__ import annotations

import multiprocessing
from dataclasses import replace

import pytest

from harnessdoc.book import place_ahead
from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.diagram import kept
from harnessdoc.drawing.svg import to_svg
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.steps import load
from tests.examples.raw import main_file


@pytest.fixture(scope="module")
def version():
    return load(main_file("first-merge")).version


def circuits(context) -> list[str]:
    return [to_svg(page) for ref in context.sheets if ref.kind is SheetKind.CIRCUIT for page in draw_sheet(context, ref).pages]


def ahead(context) -> list[str]:
    with place_ahead.placed_ahead(context) as ready:
        return circuits(ready)


def test_placed_ahead_and_kept_are_the_same_bytes(version, tmp_path, monkeypatch):
    fresh = circuits(make_context(version, Options()))
    assert len(fresh) >= 2
    assert ahead(make_context(version, Options())) == fresh
    assert ahead(make_context(version, Options(cache=tmp_path))) == fresh
    assert list(tmp_path.iterdir())

    def never(*_, **__):
        raise AssertionError("placed again")

    monkeypatch.setattr(kept, "place", never)
    assert ahead(make_context(version, Options(cache=tmp_path))) == fresh


@pytest.mark.skipif("fork" not in multiprocessing.get_all_start_methods(), reason="no processes can be forked here")
def test_the_processes_leave_what_they_placed(version, tmp_path, monkeypatch):
    context = make_context(version, Options(cache=tmp_path))
    monkeypatch.setattr(place_ahead.os, "sched_getaffinity", lambda _: {0, 1}, raising=False)
    with place_ahead.placed_ahead(context) as ready:
        monkeypatch.setattr(kept, "place", lambda *_, **__: pytest.fail("placed again"))
        circuits(ready)


def test_one_after_another_where_no_process_can_be_made(version, monkeypatch):
    def refused(*_):
        raise OSError("no more processes")

    monkeypatch.setattr(multiprocessing.get_context("fork").__class__, "Pool", refused)
    context = make_context(version, Options())
    assert ahead(replace(context)) == circuits(context)


@pytest.mark.skipif("fork" not in multiprocessing.get_all_start_methods(), reason="no processes can be forked here")
def test_where_the_folder_cannot_be_written_nothing_is_placed_twice(version, tmp_path, monkeypatch):
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setattr(place_ahead.os, "sched_getaffinity", lambda _: {0, 1}, raising=False)
    with place_ahead.placed_ahead(make_context(version, Options(cache=tmp_path / "file" / "folder"))) as ready:
        monkeypatch.setattr(kept, "place", lambda *_, **__: pytest.fail("placed again"))
        assert len(circuits(ready)) >= 2
