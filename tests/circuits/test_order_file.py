"""The order file: the same picture where nothing changed, little moved where little did, and bad content told with a way out."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import jsonschema
import pytest

from harnessdoc.book.draw import make_context
from harnessdoc.book.order import order_of
from harnessdoc.circuits.kept_order import nearest, page_order
from harnessdoc.description.order_file import OrderFile, PageOrder, order_path, order_schema, order_text, read_order
from harnessdoc.description.schema import schema_text
from harnessdoc.findings import Severity
from harnessdoc.revision.rework import rework
from harnessdoc.sheets.circuit_pages import CircuitPage, circuit_book
from harnessdoc.sheets.context import Options
from harnessdoc.sheets.ground_distribution import ground_book
from harnessdoc.sheets.power import power_book
from harnessdoc.steps import Loaded, compare, load

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
LINNET = (EXAMPLES / "linnet" / "linnet.yaml").read_text(encoding="utf-8")
Pages = Mapping[str, tuple[CircuitPage, ...]]


@pytest.fixture(scope="module")
def options(tmp_path_factory) -> Options:
    """With a folder, so that a page that did not change is placed once in all these tests."""
    return Options(cache=tmp_path_factory.mktemp("placed"))


@pytest.fixture(scope="module")
def linnet() -> Loaded:
    return load("linnet.yaml", {"linnet.yaml": LINNET}, sweep=False)


@pytest.fixture(scope="module")
def written(linnet, options) -> str:
    return order_text(order_of(linnet.version, options, "linnet.order.yaml"), "linnet.yaml")


def with_order(text: str, order: str, **more: str) -> Loaded:
    return load("linnet.yaml", {"linnet.yaml": text, "linnet.order.yaml": order, **{name.replace("_", "."): file for name, file in more.items()}}, sweep=False)


def circuit_pages(loaded: Loaded, options: Options, *, is_kept: bool = True) -> Pages:
    book = circuit_book(make_context(loaded.version if is_kept else replace(loaded.version, order=None), options))
    return {system: book.pages(system) for system in book.refs}


# ------------------------------------------------------------------ nothing changed

def test_what_did_not_change_looks_as_it_would_without_the_file(linnet, written, options):
    loaded = with_order(LINNET, written)
    assert loaded.findings == linnet.findings and loaded.order is not None
    now, before = make_context(loaded.version, options), make_context(linnet.version, options)
    for of in (circuit_book, power_book, ground_book):
        for system in of(before).refs:
            assert [page.placed for page in of(now).pages(system)] == [page.placed for page in of(before).pages(system)], system


def test_the_file_written_from_its_own_diagrams_is_the_same_file(written, options):
    loaded = with_order(LINNET, written)
    assert order_text(order_of(loaded.version, options, "linnet.order.yaml"), "linnet.yaml") == written


def test_what_is_written_reads_back_and_keeps_to_its_schema(linnet, written, options):
    order = order_of(linnet.version, options, "linnet.order.yaml")
    read = read_order("linnet.yaml", {"linnet.order.yaml": written})
    assert read.findings == () and read.order is not None
    assert tuple(replace(page, source=None) for page in read.order.pages) == order.pages
    # the verdict of an independent validator on the same file, read by an independent reader
    yaml = pytest.importorskip("yaml")
    jsonschema.Draft202012Validator(order_schema()).validate(yaml.load(written, yaml.BaseLoader))


def test_a_page_in_words_gives_the_order_it_was_made_of(linnet, options):
    for pages in circuit_pages(linnet, options).values():
        for page in pages:
            words = page_order("any", False, (), page.graph.graph, page.placed.order)
            assert nearest([words], page.graph.graph) == page.placed.order


def test_the_schema_is_written_one_way():
    assert schema_text("order") == json.dumps(order_schema(), indent=1, ensure_ascii=False) + "\n"


# ------------------------------------------------------------------ little changed

LAMP = "devices:\n  H99: {title: test lamp, terminals: ['1', '2'], between: [H99.1, H99.2], lamp: 5 W at 12 V}\n"
WIRES = "wires:\n  991: {from: %s, to: H99.1, size: 0.75 mm2, circuit: %s}\n  992: {from: H99.2, to: %s, size: 0.75 mm2, circuit: %s}\n"
FUSE = "fuses:\n  F99: {title: test, rating: 5 A}\nwires:\n  990: {from: %s, to: F99.1, size: 0.75 mm2, circuit: %s}\n  991: {from: F99.2, to: H99.1, size: 0.75 mm2, circuit: %s}\n  992: {from: H99.2, to: %s, size: 0.75 mm2, circuit: %s}\n"


def changed() -> Iterator[tuple[str, dict[str, str]]]:
    more = LINNET + "\ninclude: [more.yaml]\n"
    yield "a wire", {"linnet.yaml": more, "more.yaml": "wires:\n  991: {from: SP14, to: unknown, size: 0.5 mm2, circuit: sensor ground}\n"}
    yield "a lamp", {"linnet.yaml": more, "more.yaml": LAMP + WIRES % ("SP2", "engine supply", "GE1", "engine supply")}
    yield "a fuse", {"linnet.yaml": more, "more.yaml": LAMP + FUSE % ("SP2", "engine supply", "engine supply", "GE1", "engine supply")}
    yield "one wire less", {"linnet.yaml": re.sub(r"^  106:.*\n", "", LINNET, flags=re.M)}


CHANGES = dict(changed())


def turned(before: Pages, now: Pages) -> tuple[int, int]:
    """(pairs of things that stood in one row and now stand the other way round in it, pairs of one row that are no longer so: these, and those parted)."""
    flips = parted = 0
    for system, pages in before.items():
        was, is_now = ({node: (number, page.placed.order.levels[node], page.placed.order.ranks[node]) for number, page in enumerate(of) for node in page.placed.nodes}
                       for of in (pages, now.get(system, ())))
        for one, other in combinations([node for node in was if node in is_now], 2):
            if was[one][:2] == was[other][:2]:
                together = is_now[one][:2] == is_now[other][:2]
                turned_round = (was[one][2] < was[other][2]) != (is_now[one][2] < is_now[other][2])
                flips += together and turned_round
                parted += not together or turned_round
    return flips, parted


@pytest.fixture(scope="module")
def moved(linnet, written, options) -> dict[str, tuple[tuple[int, int], tuple[int, int]]]:
    """What is changed -> what turned round without the file, and with it."""
    before = circuit_pages(linnet, options)
    found = {}
    for what, texts in CHANGES.items():
        loaded = load("linnet.yaml", {**texts, "linnet.order.yaml": written}, sweep=False)
        assert loaded.order is not None, loaded.findings
        found[what] = turned(before, circuit_pages(loaded, options, is_kept=False)), turned(before, circuit_pages(loaded, options))
    return found


@pytest.mark.parametrize("what", CHANGES)
def test_a_small_change_moves_little(moved, what):
    (flips_without, parted_without), (flips, parted) = moved[what]
    assert flips <= flips_without and parted <= parted_without
    assert flips <= 1


def test_without_the_file_it_moves_more(moved):
    """The changes are such as the file is for: this fails where they are not."""
    assert sum(without[0] for without, _ in moved.values()) >= 20
    assert sum(without[1] for without, _ in moved.values()) >= 5 * sum(kept[1] for _, kept in moved.values())


def test_what_is_drawn_with_the_file_fits_as_without(written, options):
    loaded = load("linnet.yaml", {**CHANGES["a fuse"], "linnet.order.yaml": written}, sweep=False)
    for pages in circuit_pages(loaded, options).values():
        for page in pages:
            assert page.placed.over_mm == (0.0, 0.0)
            assert set(page.placed.nodes) == set(page.graph.graph.nodes) and set(page.placed.wires) == set(page.graph.graph.wires)


def test_the_pages_of_a_system_keep_their_wires(linnet, written, options):
    system = "engine management"
    before = circuit_book(make_context(linnet.version, options)).groups(system)
    now = circuit_book(make_context(load("linnet.yaml", {**CHANGES["one wire less"], "linnet.order.yaml": written}, sweep=False).version, options)).groups(system)
    assert len(before) == len(now) > 1
    for was, group in zip(before, now, strict=True):
        others = {id for other in now if other is not group for id in other}
        assert set(was) & others == set()
    more = circuit_book(make_context(load("linnet.yaml", {**CHANGES["a lamp"], "linnet.order.yaml": written}, sweep=False).version, options)).groups(system)
    assert [set(group) - {"991", "992"} for group in more] == [set(group) for group in before]
    of_new = [number for number, group in enumerate(more) if {"991", "992"} & set(group)]
    assert len(of_new) == 1 and "105" in more[of_new[0]]     # beside the wire that feeds the same splice


def test_it_holds_for_the_paper_it_was_written_for(written, options):
    loaded = with_order(LINNET, written)
    assert circuit_book(make_context(loaded.version, options)).kept_pages("charging")
    assert circuit_book(make_context(loaded.version, replace(options, paper="letter"))).kept_pages("charging") == ()


# ------------------------------------------------------------------ no part of the harness

def test_an_order_file_is_no_change_of_the_harness(linnet, written):
    turned_round = re.sub(r"\[([^\[\],]+), ([^\[\],]+)\]", r"[\2, \1]", written)
    assert turned_round != written
    for old, new in ((linnet, with_order(LINNET, written)), (with_order(LINNET, written), with_order(LINNET, turned_round))):
        found = compare(old, new)
        assert found.changes == () and not rework(found).steps


def test_the_file_of_a_merge_is_its_own_and_that_of_a_source_is_not_read():
    folder = EXAMPLES / "first-merge"
    texts: dict[str, str | bytes] = {file.name: file.read_bytes() for file in folder.iterdir()}
    plain = load("first-merge.yaml", texts)
    rows = "pages:\n  - rows:\n      - [host/X1.1]\n"
    with_both = load("first-merge.yaml", {**texts, "host.order.yaml": "no order: [file", "first-merge.order.yaml": f"order-of: first-merge.yaml\n{rows}"})
    assert with_both.order is not None and with_both.order.path == "first-merge.order.yaml"
    assert {finding.code for finding in with_both.findings} - {finding.code for finding in plain.findings} <= {"order-of-nothing"}
    assert "host.order.yaml" not in with_both.texts and "first-merge.order.yaml" in with_both.texts


def test_where_it_stands():
    assert order_path("a/heron.yaml") == "a/heron.order.yaml" == order_path(Path("a/heron.yml"))
    assert order_path("heron") == "heron.order.yaml"
    assert read_order("heron.yaml", {"heron.yaml": ""}).order is None
    assert read_order("heron.yaml", {"heron.order.yaml": "[", "heron.yaml": ""}, ("heron.order.yaml",)).findings == ()      # included: it is a description


# ------------------------------------------------------------------ bad content

SMALL = """\
connectors:
  X1: {face: [[1..4]], view: wire side}
wires:
  1: {from: X1.1, to: X1.2, size: 1 mm2, colour: RD}
"""
HEAD = "order-of: heron.yaml\n"
BAD = [
    ("title: Heron\n", "1:1: not-an-order-file: 'heron.order.yaml' stands where the order file of 'heron.yaml' does, and is none: it has no `order-of`",
     "give it another name, or write `order-of: heron.yaml`"),
    (HEAD, "1:1: key-missing: the order file has no `pages`", "write `pages:`"),
    (HEAD + "pages: []\npage: a4\n", "3:1: unknown-key: the order file has no key `page`", "did you mean `pages`? the keys here are order-of, pages, paper"),
    (HEAD + "paper: a3\npages: []\n", "2:8: not-a-choice: `paper` is 'a3', which is none of its words", "the words are a4, letter"),
    (HEAD + "pages: {rows: []}\n", "2:8: wrong-kind: `pages` is a map, where a list is wanted", "put it in brackets: [ ... ]"),
    (HEAD + "pages:\n  - {row: [[X1]]}\n", "3:5: key-missing: page 1 has no `rows`", "write `rows:`"),
    (HEAD + "pages:\n  - {rows: [X1]}\n", "3:13: wrong-kind: row 1 of page 1 is the text 'X1', where a list is wanted", "put it in brackets: [ ... ]"),
    (HEAD + "pages:\n  - {rows: [[X1, [X1]]]}\n", "3:18: wrong-kind: item 2 of row 1 of page 1 is a list, where text is wanted", "write one value, without brackets"),
    (HEAD + "pages:\n  - {rows: [[X1]], in-parts: maybe}\n", "3:30: not-a-choice: `in-parts` of page 1 is 'maybe', which is none of its words", "the words are yes, no"),
    (HEAD + "pages:\n  - {rows: [[X1], [X1]]}\n", "3:20: order-names-twice: 'X1' stands twice on a page of the diagram: here and at heron.order.yaml:3:14",
     "take one of the two out; till then the first counts"),
    (HEAD + "pages:\n  - {rows: [[X1, K9, mate S4, ground G7 88, wire 77]]}\n", "3:18: order-of-nothing: 'heron.order.yaml' names K9, S4, G7 and 2 more, and 'heron.yaml' has no such thing",
     "what is named so is passed over; to take it out write the file anew: harnessdoc keep-order heron.yaml"),
    (HEAD + "pages:\n  - {system: lights, rows: [[X1]]}\n", "3:14: order-of-nothing: 'heron.order.yaml' names system lights, and 'heron.yaml' has no such thing",
     "what is named so is passed over; to take it out write the file anew: harnessdoc keep-order heron.yaml"),
    (HEAD + "pages:\n  - {system: suply, rows: [[X1]]}\n", "3:14: order-of-nothing: 'heron.order.yaml' names system suply, and 'heron.yaml' has no such thing",
     "for system suply did you mean supply? what is named so is passed over; to take it out write the file anew: harnessdoc keep-order heron.yaml"),
    ("order-of: other.yaml\npages: []\n", "1:11: order-of-another: 'heron.order.yaml' is the order file of 'other.yaml', and stands beside 'heron.yaml'",
     "if the description was given a new name, write `order-of: heron.yaml`; if not, delete it, or write it anew: harnessdoc keep-order heron.yaml"),
    (HEAD + "pages:\n  - {rows: [[X1]], parts: yes}\n  - {rows: [], parts: yes}\n  - {rows: [], parts: yes}\n", "3:20: unknown-key: page 1 has no key `parts`; so it is in 2 more places",
     "did you mean `in-parts`? the keys here are in-parts, mirrored, rows, system, wires"),
    ("\n", "1:1: order-file-empty: 'heron.order.yaml' holds no entries, so it keeps no order", "delete it; or write it: harnessdoc keep-order heron.yaml"),
]


@pytest.mark.parametrize("order, words, do", BAD)
def test_bad_content_is_told_with_its_place_and_a_way_out(order, words, do):
    loaded = load("heron.yaml", {"heron.yaml": SMALL, "heron.order.yaml": order})
    plain = load("heron.yaml", {"heron.yaml": SMALL})
    found = [finding for finding in loaded.findings if finding.place.file == "heron.order.yaml"]
    assert (words, do) in [(f"{finding.place.line}:{finding.place.column}: {finding.code}: {finding.message}", finding.do) for finding in found]
    assert [finding for finding in loaded.findings if finding not in found] == list(plain.findings)
    # what is said of no longer is advice: the rest of the file counts
    assert (loaded.order is None) == any(finding.severity is Severity.ERROR for finding in found)
    assert loaded.texts["heron.order.yaml"].line(found[0].place.line) or not order.strip()
    assert len(found) <= 2


@pytest.mark.parametrize("order", ["", "\x00", b"\xff\xfe", "- [", "order-of: [\npages: {", HEAD + "pages: [\n", HEAD + "pages:\n  - rows:\n      - [\"\", ]\n", HEAD + "pages:\n  -\n", HEAD + "pages:\n  - rows:\n",
                                   HEAD + "pages:\n  - {rows: [[]], wires: , mirrored: []}\n", HEAD + "pages:\n  - rows:\n      -\n      - [X1]\n", HEAD + "1: 2\npages:\n  - {10: 3, rows: [{a: b}]}\n"])
def test_nothing_in_it_stops_the_program(order, options):
    loaded = load("heron.yaml", {"heron.yaml": SMALL, "heron.order.yaml": order})
    assert loaded.harness is not None
    for finding in loaded.findings:
        assert finding.do
    circuit_pages(loaded, options)


def test_an_order_by_hand_is_followed_where_it_costs_little(options):
    """Two lamps side by side, and the file that has them the other way round."""
    text = """\
title: two lamps
grounds: {G1: {title: body}}
circuits: {lamps: {system: lights}}
splices: {S1: {}}
devices:
  H1: {title: a, terminals: ['1', '2'], between: [H1.1, H1.2], lamp: 5 W at 12 V}
  H2: {title: b, terminals: ['1', '2'], between: [H2.1, H2.2], lamp: 5 W at 12 V}
wires:
  1: {from: S1, to: H1.1, circuit: lamps}
  2: {from: S1, to: H2.1, circuit: lamps}
  3: {from: H1.2, to: G1, circuit: lamps}
  4: {from: H2.2, to: G1, circuit: lamps}
"""
    plain = load("heron.yaml", {"heron.yaml": text}, sweep=False)
    order = order_of(plain.version, options, "heron.order.yaml")
    (page,) = order.of("lights")
    turned_round = OrderFile(order.path, order.paper, (PageOrder(page.system, page.in_parts, page.wires, tuple(row[::-1] for row in page.rows), page.mirrored),))
    (before,) = circuit_pages(plain, options)["lights"]
    loaded = load("heron.yaml", {"heron.yaml": text, "heron.order.yaml": order_text(turned_round, "heron.yaml")}, sweep=False)
    (now,) = circuit_pages(loaded, options)["lights"]
    was, is_now = ((page.placed.nodes["node:H1"].x < page.placed.nodes["node:H2"].x) for page in (before, now))
    assert was != is_now
