"""Between the order file and the placement: what its words mean on a page, and the words of a page that was placed.

Takes the pages of an OrderFile and a Graph; gives the Order from which the page starts, and the other way round. A word is the id of a
node without its kind, ``K1`` or ``ground G1 204``; of a wire that passes a row it is ``wire 204``.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from ..description.order_file import OrderFile, PageOrder
from ..diagram.graph import Graph
from ..diagram.placed import Order
from ..findings import Finding, Place, Severity
from ..model.harness import Harness
from ..model.ids import nearest as nearest_id

DISTRIBUTION = ("Power distribution", "Ground distribution")
"""What stands for a system on these pages."""
_PASSES = "wire "
_KINDS = re.compile(r"^(?:node|joint):")
# Words that say what is meant of a thing, not which one.
_WORDS = frozenset(("mate", "stub", "stud", "ground", "end", "wire", "below", "mark", "pair", "cable", "bar", "A", "B"))
_SIDES = ("top", "bottom")
_MOST_NAMED = 3
_SYSTEM = "system "


def node_word(node: str) -> str:
    """What a node of a graph is called in the file."""
    return _KINDS.sub("", node).replace(":", " ")


def wire_word(wire: str) -> str:
    """What a wire that passes a row is called there."""
    return f"{_PASSES}{wire.replace(':', ' ')}"


def page_order(system: str, in_parts: bool, wires: Sequence[str], graph: Graph, order: Order) -> PageOrder:
    """A page as it was placed, in words. wires: those that the file is to hold to this page"""
    rows: dict[int, list[tuple[int, str]]] = {}
    for node, level in order.levels.items():
        rows.setdefault(level, []).append((order.ranks[node], node_word(node)))
    for wire, ranks in order.ways.items():
        first = order.levels[graph.wires[wire].upper.node] + 1
        for step, rank in enumerate(ranks):
            rows.setdefault(first + step, []).append((rank, wire_word(wire)))
    return PageOrder(system, in_parts, tuple(wires), tuple(tuple(word for _, word in sorted(rows.get(level, ()))) for level in range(max(rows, default=-1) + 1)),
                     tuple(map(node_word, order.mirrored)))


def start_of(page: PageOrder, graph: Graph) -> Order:
    """From where the placing of ``graph`` starts."""
    nodes = {node_word(node): node for node in graph.nodes}
    wires = {wire_word(wire): wire for wire in graph.wires}
    levels: dict[str, int] = {}
    ranks: dict[str, int] = {}
    ways: dict[str, dict[int, int]] = {}
    for level, row in enumerate(page.rows):
        for rank, word in enumerate(row):
            if word in nodes:
                levels.setdefault(nodes[word], level)
                ranks.setdefault(nodes[word], rank)
            elif word in wires:
                ways.setdefault(wires[word], {}).setdefault(level, rank)
    return Order(levels, ranks, {wire: tuple(at[level] for level in sorted(at)) for wire, at in ways.items()}, tuple(nodes[word] for word in page.mirrored if word in nodes))


def nearest(pages: Sequence[PageOrder], graph: Graph) -> Order | None:
    """The start of a page: that of the kept pages with most of its things; None where none has any."""
    words = {node_word(node) for node in graph.nodes}
    shared = [sum(word in words for row in page.rows for word in row) for page in pages]
    most = max(shared, default=0)
    return start_of(pages[shared.index(most)], graph) if most else None


def faults(order: OrderFile, harness: Harness, main: str) -> Iterator[Finding]:
    """What the file has twice, where one would do, and one advice where it names what the harness has no more."""
    known = _ids(harness)
    systems = dict.fromkeys((*(circuit.system for circuit in harness.circuits.values() if circuit.system), "supply", *DISTRIBUTION))
    gone: dict[str, Place] = {}
    for page in order.pages:
        if page.source is None:
            continue
        if page.system and page.system not in systems:
            gone.setdefault(f"{_SYSTEM}{page.system}", page.source.place_of("system"))
        for words in (*page.source["rows"], page.source.get("wires") or (), page.source.get("mirrored") or ()):
            for number, word in enumerate(words):
                for id in _not_known(word or "", known):
                    gone.setdefault(id, words.place_of(number))
        yield from _twice(page)
    if gone:
        names = list(gone)
        more = len(names) - _MOST_NAMED
        said = ", ".join(names[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
        meant = [f"for {name} did you mean {near}? " for name in names if (near := nearest_id(name.removeprefix(_SYSTEM), systems if name.startswith(_SYSTEM) else ()))]
        yield Finding("order-of-nothing", Severity.ADVICE, f"'{order.path}' names {said}, and '{main}' has no such thing", gone[names[0]],
                      f"{''.join(meant[:_MOST_NAMED])}what is named so is passed over; to take it out write the file anew: harnessdoc keep-order {main}")


def _twice(page: PageOrder) -> Iterator[Finding]:
    """A wire passes many rows, each once; all else stands in one."""
    seen: dict[tuple[str, int], Place] = {}
    for level, row in enumerate(page.source["rows"] if page.source is not None else ()):
        for number, word in enumerate(row or ()):
            key = word or "", level if word and word.startswith(_PASSES) else -1
            here = row.place_of(number)
            if key in seen:
                of = f"of system {page.system}" if page.system else "of the diagram"
                yield Finding("order-names-twice", Severity.ADVICE, f"'{word}' stands twice on a page {of}: here and at {seen[key]}", here, "take one of the two out; till then the first counts")
            seen.setdefault(key, here)


def _ids(harness: Harness) -> frozenset[str]:
    things: Iterable[Collection[str] | Mapping[str, object]] = (harness.contacts, harness.wires, harness.parts, harness.devices, harness.connectors, harness.splices,
                                                               harness.grounds, harness.boxes, harness.pairs, harness.cables)
    return frozenset(id for of in things for id in of)


def _not_known(word: str, known: frozenset[str]) -> Iterator[str]:
    """The ids in a word that are none."""
    for id in word.split(" "):
        if id not in known and id not in _WORDS and not _is_part(id, known):
            yield id


def _is_part(word: str, known: frozenset[str]) -> bool:
    """``K1#K1.85``: a thing and its piece."""
    return any(word[:at] in known and (word[at + 1:] in known or word[at + 1:] in _SIDES) for at, sign in enumerate(word) if sign == "#")
