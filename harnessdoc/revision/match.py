"""Finds which thing of the old version is which of the new.

First by id. An id holds unless everything said of the thing stood under another id
before: then the ids were exchanged or counted on. What is left on both sides is known
again by what it joins (``traits.py``); where more than one would fit, an assignment
finds the whole that is most alike. Renamed connectors make their wires known again and
wires their connectors, so this goes on until nothing new is found; what is said of a thing
but does not lead to it (a face, a colour) is asked only when nothing else helps.

The same from new to old: all choices are made by measures that do not ask which
version is which.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from itertools import product
from typing import Any

from ..model.harness import OPEN, UNKNOWN, Harness
from .changes import Thing
from .keys import KEYS, same_as_written
from .names import names_of_new, names_of_old
from .pairing import OWNERS, Pairing, things_of
from .traits import CERTAIN, LEAST, Trait, TraitMaker, Traits, is_telling, joins_of, likeness

_ORDER = (Thing.CONNECTOR, Thing.PART, Thing.SPLICE, Thing.GROUND, Thing.DEVICE, Thing.BOX, Thing.WIRE,
          Thing.SEGMENT, Thing.POINT, Thing.CIRCUIT, Thing.PAIR, Thing.CABLE)
"""What is known by wires first, then the wires, then what is known by those."""
_MOST_ROUNDS = 6
_CROWD = 2_000
"""A trait shared by more pairs than this finds nothing: a ground with a hundred new wires would try ten thousand pairs."""
_NAMED = 4


def match(old: Harness, new: Harness) -> Pairing:
    """The Pairing of two harnesses."""
    matching = _Matching(old, new)
    for thing in _ORDER:
        matching.by_id(thing)
    for _ in range(_MOST_ROUNDS):
        found = [matching.exchanged(thing) or matching.by_likeness(thing, is_telling) for thing in _ORDER]
        if not any(found) and not any(matching.by_likeness(thing, bool) for thing in _ORDER):
            break
    return matching.pairing


class _Matching:
    """The state of one matching: a Pairing whose maps fill up, through which names are led."""

    def __init__(self, old: Harness, new: Harness) -> None:
        self.old_harness, self.new_harness = old, new
        self.old, self.new = things_of(old), things_of(new)
        self.now: dict[Thing, dict[str, str]] = {thing: {} for thing in _ORDER}
        self.before: dict[Thing, dict[str, str]] = {thing: {} for thing in _ORDER}
        self.why: dict[tuple[Thing, str], str] = {}
        self.owner_now: dict[str, str] = {}
        self.owner_before: dict[str, str] = {}
        self.pairing = Pairing(self.now, self.before, self.why, self.owner_now, self.owner_before)
        self.names = names_of_old(old, self.pairing)
        self.joins = joins_of(old), joins_of(new)

    def pair(self, thing: Thing, old: str, new: str, why: str = "") -> None:
        self.now[thing][old] = new
        self.before[thing][new] = old
        if why:
            self.why[thing, old] = why
        if thing in OWNERS:
            self.owner_now[old] = new
            self.owner_before[new] = old

    def part(self, thing: Thing, old: str) -> None:
        new = self.now[thing].pop(old)
        del self.before[thing][new]
        if thing in OWNERS:
            del self.owner_now[old], self.owner_before[new]

    def by_id(self, thing: Thing) -> None:
        for name in self.old[thing]:
            if name in self.new[thing]:
                self.pair(thing, name, name)

    # ------------------------------------------------------------ ids exchanged

    def exchanged(self, thing: Thing) -> bool:
        """Parts the pairs of an id whose thing is, to the last word, under another id, and pairs that; whether any was found."""
        differ = [name for name, now in self.now[thing].items() if name == now and not self._is_same(thing, name)]
        if not differ:
            return False
        found = False
        gone = [name for name in self.old[thing] if name not in self.now[thing]]
        come = [name for name in self.new[thing] if name not in self.before[thing]]
        old_of = _only({name: self._said(thing, name, True) for name in (*differ, *gone)})
        new_of = _only({name: self._said(thing, name, False) for name in (*differ, *come)})
        for said, new in new_of.items():
            old = old_of.get(said)
            if old is not None and old != new:
                for parted in {old, self.before[thing].get(new)} & set(self.now[thing]):
                    self.part(thing, parted)
                self.pair(thing, old, new, f"all that is said of {new} was said of {old}")
                found = True
        return found

    def _is_same(self, thing: Thing, name: str) -> bool:
        if same_as_written(self.old[thing][name], self.new[thing][name]) and self._joined(thing, name, True) == self._joined(thing, name, False):
            return True
        return self._said(thing, name, True) == self._said(thing, name, False)

    def _said(self, thing: Thing, name: str, is_old: bool) -> tuple[Hashable, ...]:
        """All that is said of a thing but its id and, of an owner, the other owners it names; in the new version's names. Nothing where it joins nothing."""
        item = (self.old if is_old else self.new)[thing][name]
        joined = self._joined(thing, name, is_old)
        if not joined and not getattr(item, "title", ""):
            return ("nothing", name)
        said: list[Any] = [joined]
        for key in KEYS[thing]:
            if thing in OWNERS and key.refers is not None and key.name != "place":
                continue   # what else it names may have been exchanged as well
            value = key.get(item)
            if is_old and key.refers is not None:
                value = key.refers(self.names, value)
            said.append(_hashable(value))
        return tuple(said)

    def _joined(self, thing: Thing, name: str, is_old: bool) -> frozenset[Hashable]:
        """What a thing joins, or what is joined by it, in the new version's names."""
        harness = self.old_harness if is_old else self.new_harness
        names = self.names if is_old else None
        if thing is Thing.WIRE or thing is Thing.SEGMENT:
            item = (self.old if is_old else self.new)[thing][name]
            ends = item.from_, item.to
            if names is None:
                return frozenset(ends)
            return frozenset(map(names.address, ends) if thing is Thing.WIRE else (names.of(Thing.POINT, end) for end in ends))
        joined = self.joins[not is_old].get((thing, name), ())
        if names is None:
            return frozenset((where, other) for where, _, other in joined)
        return frozenset((where, names.owner(other) if what is None else names.of(what, other)) for where, what, other in joined)

    # ------------------------------------------------------------ known by what they join

    def by_likeness(self, thing: Thing, finds: Callable[[Trait], bool]) -> bool:
        """Pairs what is left of both sides; whether any pair was found. finds: whether things are sought by a trait."""
        left = [name for name in self.old[thing] if name not in self.now[thing] and _can_be_renamed(self.old_harness, thing, name)]
        come = [name for name in self.new[thing] if name not in self.before[thing] and _can_be_renamed(self.new_harness, thing, name)]
        if not left or not come:
            return False
        sure = self._sure_wires() if thing is not Thing.WIRE else {}
        arrived = frozenset(sure.values())
        makers = (TraitMaker(self.old_harness, self.joins[0], sure.get, self.names),
                  TraitMaker(self.new_harness, self.joins[1], lambda wire: wire if wire in arrived else None, names_of_new(self.new_harness, self.pairing)))
        old = {name: makers[0].of(thing, name, self.old[thing][name]) for name in left}
        new = {name: makers[1].of(thing, name, self.new[thing][name]) for name in come}
        scores = _scores(old, new, finds)
        rank = ({name: position for position, name in enumerate(self.old[thing])}, {name: position for position, name in enumerate(self.new[thing])})
        found = _assigned(scores, rank)
        for a, b in found:
            self.pair(thing, a, b, _reason(thing, old[a], new[b]))
        return bool(found)


    def _sure_wires(self) -> dict[str, str]:
        """Old id -> new id of the wires that prove something: a number alone, on a wire of another colour between other ends, may have been counted on."""
        sure = {}
        for old, new in self.now[Thing.WIRE].items():
            was, now = self.old_harness.wires[old], self.new_harness.wires[new]
            if (was.colour, was.size) == (now.colour, now.size) or {*map(self.names.address, (was.from_, was.to))} & {now.from_, now.to} - {UNKNOWN, OPEN}:
                sure[old] = new
        return sure


def _can_be_renamed(harness: Harness, thing: Thing, name: str) -> bool:
    """A circuit that one wire alone names is known by that word alone."""
    if thing is not Thing.CIRCUIT or harness.circuits[name].source is not None:
        return True
    return sum(wire.circuit == name for wire in harness.wires.values()) > 1


def _hashable(value: Any) -> Hashable:
    return tuple(sorted(value.items())) if isinstance(value, dict) else value


def _only(said: Mapping[str, tuple[Hashable, ...]]) -> dict[tuple[Hashable, ...], str]:
    """What is said -> the one thing of which it is said; nothing where two are alike in all."""
    found: dict[tuple[Hashable, ...], str | None] = {}
    for name, words in said.items():
        found[words] = None if words in found else name
    return {words: name for words, name in found.items() if name is not None}


def _scores(old: Mapping[str, Traits], new: Mapping[str, Traits], finds: Callable[[Trait], bool]) -> dict[tuple[str, str], float]:
    """(old, new) -> how alike, for all that share a trait by which things are sought and are alike enough."""
    by_trait: dict[Hashable, tuple[list[str], list[str]]] = {}
    for side, things in enumerate((old, new)):
        for name, traits in things.items():
            for trait in filter(finds, traits):
                by_trait.setdefault(trait, ([], []))[side].append(name)
    scores: dict[tuple[str, str], float] = {}
    for olds, news in by_trait.values():
        if len(olds) * len(news) <= _CROWD:
            for pair in product(olds, news):
                if pair not in scores:
                    scores[pair] = likeness(old[pair[0]], new[pair[1]])
    return {pair: score for pair, score in scores.items() if score >= LEAST}


def _assigned(scores: Mapping[tuple[str, str], float], rank: tuple[Mapping[str, int], Mapping[str, int]]) -> list[tuple[str, str]]:
    """The pairs of the assignment with the greatest sum; a doubtful pair that another could be as well is none."""
    of_old: dict[str, list[str]] = {}
    of_new: dict[str, list[str]] = {}
    for a, b in scores:
        of_old.setdefault(a, []).append(b)
        of_new.setdefault(b, []).append(a)
    single = [(a, b) for a, b in scores if len(of_old[a]) == len(of_new[b]) == 1]
    several = {pair: score for pair, score in scores.items() if pair not in set(single)}
    found = single + (_best(several, rank) if several else [])

    def in_doubt(a: str, b: str) -> bool:
        score = scores[a, b]
        others = [scores[a, other] for other in of_old[a] if other != b] + [scores[other, b] for other in of_new[b] if other != a]
        return score < CERTAIN and any(abs(other - score) < 1e-9 for other in others)

    return [pair for pair in found if not in_doubt(*pair)]


def _best(scores: Mapping[tuple[str, str], float], rank: tuple[Mapping[str, int], Mapping[str, int]]) -> list[tuple[str, str]]:
    """scipy's assignment on the sparse table of scores; every row may also stay alone, for almost nothing."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import min_weight_full_bipartite_matching

    rows = sorted({a for a, _ in scores})
    columns = sorted({b for _, b in scores})
    turned = columns < rows   # from new to old the same table is solved, so that the same pairs come out
    if turned:
        rows, columns = columns, rows
    row_of, column_of = {name: n for n, name in enumerate(rows)}, {name: n for n, name in enumerate(columns)}
    entries = sorted(((row_of[b], column_of[a]) if turned else (row_of[a], column_of[b]), _weight(a, b, score, rank)) for (a, b), score in scores.items())
    alone = [((n, len(columns) + n), 1e-6) for n in range(len(rows))]
    cells = [*entries, *alone]
    table = coo_array(([weight for _, weight in cells], ([r for (r, _), _ in cells], [c for (_, c), _ in cells])), shape=(len(rows), len(columns) + len(rows)))
    chosen = zip(*min_weight_full_bipartite_matching(table.tocsr(), maximize=True), strict=True)
    pairs = [(rows[r], columns[c]) for r, c in chosen if c < len(columns)]
    return [(b, a) for a, b in pairs] if turned else pairs


def _weight(a: str, b: str, score: float, rank: tuple[Mapping[str, int], Mapping[str, int]]) -> float:
    """Of equals those whose ids begin and end alike, then those that stand at the same place in the file."""
    return score + 1e-3 * _alike(a, b) + 1e-5 / (1 + abs(rank[0][a] - rank[1][b]))


def _alike(a: str, b: str) -> float:
    """The share of letters two ids have in common from their beginnings and ends."""
    most = min(len(a), len(b))
    begin = next((n for n in range(most) if a[n] != b[n]), most)
    end = next((n for n in range(most - begin) if a[-1 - n] != b[-1 - n]), most - begin)
    return (begin + end) / max(len(a), len(b), 1)


def _reason(thing: Thing, old: Traits, new: Traits) -> str:
    """By what the two were known to be one, in words."""
    shared = [trait for trait in new if trait in old]
    ends = [str(value) for name, value in shared if name in ("end", "same end", "no end")]
    if thing in (Thing.WIRE, Thing.SEGMENT):
        alike = _listed(name for name, _ in shared if name in ("colour", "size", "type", "circuit", "length", "length_mm"))
        if len(ends) == 2:
            return f"both ends are as before: {ends[0]} and {ends[1]}"
        return f"its end at {ends[0]} is as before" + (f", and its {alike.replace('length_mm', 'length')}" if alike else "")
    wires = [value for name, value in shared if name == "wire"]
    if wires:
        more = f" and {len(wires) - _NAMED} more" if len(wires) > _NAMED else ""
        return f"the same {'wire' if len(wires) == 1 else 'wires'}: {', '.join(map(str, wires[:_NAMED]))}{more}"
    names = {"segment": "segments", "sits": "things that sit there", "connector": "connectors", "inside": "parts inside", "kind of wire": "kinds of wire"}
    return f"the same {_listed(names.get(name, name) for name, _ in shared)}"


def _listed(words: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(words))
