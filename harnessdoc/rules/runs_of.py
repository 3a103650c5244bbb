"""Things that one mend helps, told together.

Takes names of things and what each of them touches; gives groups of those that touch the same.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable


def grouped(touching: Iterable[tuple[str, Iterable[Hashable]]]) -> list[list[str]]:
    """``(thing, what it touches)`` -> things in groups that touch the same, each in the order given, the groups by their first."""
    group_of: dict[Hashable, int] = {}
    groups: dict[int, list[str]] = {}
    order: dict[str, int] = {}
    for number, (thing, touched) in enumerate(touching):
        order[thing] = number
        touched = list(touched)
        met = sorted({group_of[one] for one in touched if one in group_of})
        into = met[0] if met else number
        members = groups.setdefault(into, [])
        for other in met[1:]:
            members += groups.pop(other)
            for one, group in group_of.items():
                if group == other:
                    group_of[one] = into
        members.append(thing)
        group_of.update(dict.fromkeys(touched, into))
    return [sorted(members, key=order.__getitem__) for _, members in sorted(groups.items())]
