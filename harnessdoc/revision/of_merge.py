"""What changed of a merge itself: its sources, fates, joins and interfaces.

Takes: the Merge of both versions, None where a version is no merge. Gives: changes, in the order of the new file. What the merged
harness is made of is compared as that of any other; here stands what was decided.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from ..description.units import Length
from ..findings import Place
from ..merge.plan import Decision, Interface, Join, Merge, Source
from .changes import Change, ChangeKind, Thing

_USE, _ROUTE, _LENGTH, _TEXT = ChangeKind.USE_CHANGED, ChangeKind.RE_ROUTED, ChangeKind.RE_LENGTHENED, ChangeKind.TEXT_ONLY


@dataclass(frozen=True, slots=True)
class _Told:
    """One key: what a change of it is called, and its value as printed, "" where nothing is said."""

    name: str
    kind: ChangeKind
    words: Callable[[object], str]


def merge_changes(old: Merge | None, new: Merge | None) -> Iterator[Change]:
    """Sources, fates, joins, interfaces, and what is left open on purpose."""
    for thing, of, words, keys, place in _TOLD:
        befores, nows = (of(merge) if merge is not None else {} for merge in (old, new))
        yield from _of(thing, befores, nows, words, keys, place)


def _of(thing: Thing, befores: Mapping[str, object], nows: Mapping[str, object], words: Callable, keys: tuple[_Told, ...], place: Callable) -> Iterator[Change]:
    for id, before in befores.items():
        if id not in nows:
            yield Change(ChangeKind.REMOVED, thing, id, None, "", before, None, words(before), "", "", place(before), None)
    for id, now in nows.items():
        before = befores.get(id)
        if before is None:
            yield Change(ChangeKind.ADDED, thing, None, id, "", None, now, "", words(now), "", None, place(now))
            continue
        for key in keys:
            was, is_now = key.words(before), key.words(now)
            if was != is_now:
                yield Change(key.kind, thing, id, id, key.name, was, is_now, was, is_now, "", place(before), place(now))


def _stated(length: Length | None) -> str:
    return length.stated if length is not None else ""


def _join_words(join: Join) -> str:
    return f"ties {' and '.join(end.address for end in join.ends)}{f' through {join.through}' if join.through else ''}"


def _place(thing: Source | Join | Interface) -> Place:
    return (thing.record if isinstance(thing, Source) else thing.source).place()


def _place_of_fate(decision: Decision) -> Place | None:
    return decision.line.place() if decision.line is not None else None


def _interface_words(interface: Interface) -> str:
    return f"{interface.recipe}: {', '.join(f'{role} {given}' for role, given in interface.given.items())}"


_JOIN = (
    _Told("ends", _USE, lambda join: ", ".join(end.address for end in join.ends)),
    _Told("cut", _USE, lambda join: ", ".join(end.address for end in join.ends if end.wire and end.cut)),
    _Told("wires", _USE, lambda join: ", ".join(end.wire for end in join.ends if end.wire)),
    _Told("through", _USE, lambda join: join.through),
    _Told("piece", _USE, lambda join: join.piece),
    _Told("method", _TEXT, lambda join: join.method),
    _Told("place", _ROUTE, lambda join: join.place),
    _Told("at", _ROUTE, lambda join: join.at),
    _Told("stubs", _LENGTH, lambda join: ", ".join(f"{end.address} {_stated(end.stub)}" for end in join.ends if end.stub is not None)),
    _Told("strip", _LENGTH, lambda join: _stated(join.strip)),
    _Told("overlap", _LENGTH, lambda join: _stated(join.overlap)),
    _Told("note", _TEXT, lambda join: join.note),
)
_SOURCE = (_Told("file", _TEXT, lambda source: source.file.rpartition("/")[2]), _Told("role", _USE, lambda source: source.role.value))
_FATE = (_Told("fate", _USE, lambda decision: decision.fate.value), _Told("joins", _USE, lambda decision: ", ".join(decision.joins)), _Told("why", _TEXT, lambda decision: decision.why))
_INTERFACE = (
    _Told("recipe", _USE, lambda interface: interface.recipe),
    _Told("roles", _USE, lambda interface: ", ".join(f"{role} {given}" for role, given in interface.given.items())),
    _Told("place", _ROUTE, lambda interface: interface.place),
)
_FAR = (_Told("far", _USE, lambda far: far.fate.value), _Told("hangs", _USE, lambda far: far.hangs))
_TOLD = (
    (Thing.SOURCE, lambda merge: merge.sources, lambda source: f"{source.role.value}, {source.file.rpartition('/')[2]}", _SOURCE, _place),
    (Thing.FATE, lambda merge: merge.decisions, lambda decision: decision.fate.value, _FATE, _place_of_fate),
    (Thing.JOIN, lambda merge: merge.joins, _join_words, _JOIN, _place),
    (Thing.FAR_HALF, lambda merge: merge.far_halves, lambda far: far.fate.value, _FAR, lambda far: None),
    (Thing.INTERFACE, lambda merge: merge.interfaces, _interface_words, _INTERFACE, _place),
    (Thing.OPEN_END, lambda merge: merge.open, str, (_Told("why", _TEXT, str),), lambda why: None),
)
