"""What differs between two lids, the bars of two boxes and two faces, in words.

Takes the values of a change as ``revision/keys.py`` reads them; gives text of one line.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ..model.harness import Face
from ..network.cavity_order import ranges

_Lid = Sequence[Sequence[str]]


def lid_words(was: _Lid, now: _Lid) -> tuple[str, ...]:
    """``F10 and K4 gone from the lid``, what is new on it, and what moved; positions are called by row and place, from 1."""
    at_was, at_now = _places(was), _places(now)
    gone, come = [name for name in at_was if name not in at_now], [name for name in at_now if name not in at_was]
    moved = [name for name in at_now if name in at_was and at_was[name] != at_now[name]]
    # where a gap or a row comes in, all behind it move: that is not what anyone did to them
    told = [f"{listed(gone)} gone from the lid"] if gone else []
    told += [f"{listed(come)} new on the lid"] if come else []
    if not told:
        told = [f"{name} on the lid from row {at_was[name][0]} place {at_was[name][1]} to row {at_now[name][0]} place {at_now[name][1]}" for name in moved]
    return tuple(told) or ("lid laid out otherwise",)


def bar_words(was: Mapping[str, frozenset[str]], now: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    """``bar clutch gone``, ``F10.1 off bar 30``, ``F2.1 on bar 30``."""
    told = [f"bar {name} gone" for name in was if name not in now]
    told += [f"bar {name} new" + (f": {listed(sorted(joins))}" if joins else "") for name, joins in now.items() if name not in was]
    for name in (name for name in now if name in was):
        off, on = sorted(was[name] - now[name]), sorted(now[name] - was[name])
        told += [f"{listed(off)} off bar {name}"] if off else []
        told += [f"{listed(on)} on bar {name}"] if on else []
    return tuple(told)


def rows_words(face: Face) -> str:
    """``rows 1..3 / 4..6`` from the top down, from the mating side; of a face without rows, its shape."""
    if face.shape != "rows":
        return f"{len(face.spots)} cavities, {face.shape}, placed"
    rows: dict[float, list[tuple[float, str]]] = {}
    for cavity, x, y, *_ in face.spots:
        rows.setdefault(y, []).append((x, cavity))
    return "rows " + " / ".join(ranges([cavity for _, cavity in sorted(rows[y])]) for y in sorted(rows, reverse=True))


def listed(names: Iterable[str]) -> str:
    """``E1, E2 and E3``."""
    *most, last = [*names] or [""]
    return f"{', '.join(most)} and {last}" if most else last


def _places(lid: _Lid) -> dict[str, tuple[int, int]]:
    return {name: (row, place) for row, names in enumerate(lid, start=1) for place, name in enumerate(names, start=1) if name}
