"""Random edits of known kind on a description, and what a comparison must say of each.

Each function proposes one edit: it looks, and gives an Edit that names what it touches
and the changes to be found; ``Edit.apply`` then makes it. A function gives None where the
description has nothing to do it on. What is expected is what a mechanic would say who
watched the edit.
"""

from __future__ import annotations

import marshal
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from revision.bench import (
    OWNER_SECTIONS,
    SECTION_OF,
    Bench,
    Description,
    is_cavity,
    known,
    rename,
)

from harnessdoc.revision.changes import ChangeKind, Thing
from harnessdoc.revision.compare import Comparison

Told = tuple[ChangeKind, Thing, str, str]
"""Kind, thing, id by which a reader finds it, key."""

COLOURS = ("B", "W", "R", "G", "L", "Y", "Br", "O", "P", "V", "Gr", "Lg", "R-W", "G-B", "Y-R", "Br-Y", "L-O", "P-B", "V-Y", "Gr-L")
SIZES = ("0.35 mm2", "0.5 mm2", "0.75 mm2", "0.85 mm2", "1.25 mm2", "1.5 mm2", "2 mm2", "2.5 mm2", "3 mm2", "5 mm2", "8 mm2", "18 AWG", "SAE 16")
TYPES = ("PVC 85 C", "PVC 105 C", "XLPE 125 C", "XLPE 150 C", "ETFE 150 C", "TXL", "GXL")
SIGNALS = ("feed-constant", "ground-sensor", "input-analog", "output-low", "can-high", "lamp", "motor", "gauge")
WORDS = ("amber", "brass", "copper", "drum", "ember", "flint", "grain", "hazel", "ivory", "juniper", "kelp", "larch")


@dataclass(frozen=True, slots=True)
class Edit:
    """touches: (section or "cavity", id) of all that the edit looks at closely; two edits that share none are unrelated."""

    name: str
    touches: frozenset[tuple[str, str]]
    expected: frozenset[Told]
    apply: Callable[[Description], None]


def found(comparison: Comparison) -> list[Told]:
    """What a comparison tells, in the terms of `Edit.expected`."""
    return [(change.kind, change.thing, change.id, change.key) for change in comparison.changes]


def edited(description: Description, *edits: Edit) -> Description:
    new = marshal.loads(marshal.dumps(description))    # plain data: ten times as fast as copy.deepcopy
    for edit in edits:
        edit.apply(new)
    return new


# ------------------------------------------------------------------- edits of one value

def _setting(name: str, section: str, entry: str, key: str, value: Any, *expected: Told) -> Edit:
    """An edit that writes ``key: value`` (None: takes the key out)."""
    def apply(description: Description) -> None:
        if value is None:
            del description[section][entry][key]
        else:
            description[section].setdefault(entry, {})[key] = value

    touches = {(section, entry)}
    if section == "cavities":
        touches |= {("cavity", entry), ("owner", entry)}
    return Edit(name, frozenset(touches), frozenset(expected), apply)


def _change(bench: Bench, kind: ChangeKind, section: str, key: str, value: Callable[[str], Any], test: Callable[[str, dict], bool] = lambda name, entry: True,
            told_key: str | None = None) -> Edit | None:
    """A change of a key that is there: ``value(old)`` gives the new text."""
    name = bench.pick(section, lambda name, entry: isinstance(entry.get(key), str) and entry[key] != "unknown" and test(name, entry))
    if name is None:
        return None
    thing = SECTION_OF.get(section, Thing.CONTACT)
    return _setting(f"{section} {name} {key}", section, name, key, value(bench.section(section)[name][key]), (kind, thing, name, told_key or key))


def _other(bench: Bench, choices: Iterable[str]) -> Callable[[str], str]:
    return lambda old: bench.choose(choice for choice in choices if _meaning(choice) != _meaning(old))


def _meaning(text: str) -> str:
    return text.replace("mm²", "mm2").replace(" ", "")


def _longer(bench: Bench) -> Callable[[str], str]:
    return lambda old: f"{float(old.split()[0]) + bench.random.randrange(10, 200):g} mm"


def _words(bench: Bench) -> Callable[[str], str]:
    return lambda old: f"{bench.choose(WORDS)} {bench.random.randrange(1000)}"


def recoloured(bench: Bench) -> Edit | None:
    return _change(bench, ChangeKind.RECOLOURED, bench.choose(("wires",) * 9 + ("cables",)), "colour", _other(bench, COLOURS))


def resized(bench: Bench) -> Edit | None:
    section = bench.choose(("wires",) * 9 + ("fusible-links",))
    return _change(bench, ChangeKind.RESIZED, section, "size", _other(bench, SIZES if section == "wires" else ("2 mm2", "5 mm2")))


def re_lengthened(bench: Bench) -> Edit | None:
    section, key = bench.choose((("segments", "length"), ("segments", "slack"), ("wires", "length"), ("connectors", "service")))
    return _change(bench, ChangeKind.RE_LENGTHENED, section, key, _longer(bench))


def allowances_changed(bench: Bench) -> Edit | None:
    if ("harness", "") in bench.touched:
        return None
    value = {"end": f"{bench.random.randrange(51, 90)} mm", "splice": "10 mm"}
    return Edit("allowances", frozenset({("harness", "")}), frozenset({(ChangeKind.RE_LENGTHENED, Thing.HARNESS, "", "allowances")}),
                lambda description: description.update(allowances=value))


def re_placed(bench: Bench) -> Edit | None:
    """A connector, device or ground sits elsewhere on the bundle."""
    points = sorted({entry[end] for entry in bench.section("segments").values() for end in ("from", "to")})
    section = bench.choose(("connectors", "connectors", "devices", "grounds", "boxes"))
    return _change(bench, ChangeKind.RE_ROUTED, section, "place", _other(bench, points), lambda name, entry: entry["place"] in points)


def splice_shifted(bench: Bench) -> Edit | None:
    def shifted(old: str) -> str:
        mm, _, rest = old.partition(" mm")
        return f"{int(mm) - bench.random.randrange(1, 30)} mm{rest}"

    return _change(bench, ChangeKind.RE_ROUTED, "splices", "at", shifted, lambda name, entry: int(entry["at"].split()[0]) > 31)


def via_given(bench: Bench) -> Edit | None:
    """A wire takes a way round by a segment, or the way it takes is written down anew."""
    name = bench.pick("wires", lambda name, entry: known(entry["from"]) and known(entry["to"]) and "via" not in entry)
    segment = bench.pick("segments")
    if name is None or segment is None:
        return None
    return _setting(f"wire {name} via {segment}", "wires", name, "via", [segment], (ChangeKind.RE_ROUTED, Thing.WIRE, name, "via"))


def part_changed(bench: Bench) -> Edit | None:
    words = _words(bench)
    rows: list[tuple[str, str, Callable[[str], str]]] = [
        ("wires", "type", _other(bench, TYPES)), ("connectors", "housing", words), ("fuses", "rating", _other(bench, ("3 A", "5 A", "7.5 A", "25 A"))),
        ("fuses", "type", words), ("relays", "coil", _other(bench, ("70 ohm", "110 ohm"))), ("relays", "suppression", _other(bench, ("none", "diode", "resistor"))),
        ("splices", "method", _other(bench, ("solder", "weld", "crimp splice"))), ("grounds", "stud", _other(bench, ("M5", "M12"))),
        ("segments", "covering", words), ("cavities", "terminal", words), ("cavities", "plug", words), ("cables", "part", words), ("diodes", "part", words),
        ("connectors", "half", _other(bench, ("plug", "socket"))), ("grounds", "metal", _other(bench, ("frame", "body", "engine"))),
    ]
    section, key, value = bench.choose(rows)
    test = (lambda name, entry: "mates" not in entry and not any(other.get("mates") == name for other in bench.section("connectors").values())) if key == "half" else (lambda name, entry: True)
    return _change(bench, ChangeKind.PART_CHANGED, section, key, value, test)


def use_changed(bench: Bench) -> Edit | None:
    words = _words(bench)
    rows: list[tuple[str, str, Callable[[str], str]]] = [
        ("wires", "circuit", _other(bench, bench.section("circuits"))), ("cavities", "function", words), ("cavities", "signal", _other(bench, SIGNALS)),
        ("cavities", "draws", _other(bench, ("0.7 A", "2.2 A"))), ("cavities", "limit", _other(bench, ("0.7 A", "2.2 A"))), ("fuses", "feeds", words),
        ("cavities", "bus", words), ("cavities", "bit-rate", _other(bench, ("125 kbit/s", "1 Mbit/s"))), ("cavities", "pulses", _other(bench, ("4000 per mile", "6 per turn"))),
        ("segments", "zone", _other(bench, ("engine", "cabin", "wet"))), ("fuses", "circuit", _other(bench, bench.section("circuits"))),
    ]
    section, key, value = bench.choose(rows)
    # an output that a state turns on stays an output, or the description would not hold together
    turned_on = {address for state in bench.section("states").values() for address in state.get("commanded", ())}
    return _change(bench, ChangeKind.USE_CHANGED, section, key, value, lambda name, entry: key != "signal" or name not in turned_on)


def re_twisted(bench: Bench) -> Edit | None:
    what = bench.choose(("pair", "untwisted", "lay", "cable lay"))
    if what == "lay":
        return _change(bench, ChangeKind.RE_TWISTED, "pairs", "lay", _longer(bench))
    if what == "cable lay":
        return _change(bench, ChangeKind.RE_TWISTED, "cables", "lay", _longer(bench))
    if what == "untwisted":
        name = bench.pick("wires", lambda name, entry: "pair" in entry)
        return None if name is None else _setting(f"wire {name} untwisted", "wires", name, "pair", None, (ChangeKind.RE_TWISTED, Thing.WIRE, name, "pair"))
    name, pair = bench.pick("wires", lambda name, entry: "cable" not in entry), bench.pick("pairs")
    if name is None or pair is None or bench.section("wires")[name].get("pair") == pair:
        return None
    return _setting(f"wire {name} in {pair}", "wires", name, "pair", pair, (ChangeKind.RE_TWISTED, Thing.WIRE, name, "pair"))


def text_only(bench: Bench) -> Edit | None:
    if bench.random.random() < 0.15:
        key = bench.choose(("title", "owner", "number", "by", "approved", "note"))
        if ("harness", "") in bench.touched:
            return None
        value = _words(bench)("")
        return Edit(f"harness {key}", frozenset({("harness", "")}), frozenset({(ChangeKind.TEXT_ONLY, Thing.HARNESS, "", key)}),
                    lambda description: description.update({key: value}))
    section, key = bench.choose((
        ("wires", "note"), ("wires", "evidence"), ("connectors", "title"), ("connectors", "note"), ("connectors", "photo"), ("devices", "title"), ("fuses", "title"),
        ("splices", "title"), ("splices", "evidence"), ("grounds", "note"), ("segments", "note"), ("places", "title"), ("pairs", "title"), ("boxes", "note"),
        ("circuits", "note"), ("cavities", "note"), ("cavities", "evidence"),
    ))
    if section == "cavities" and bench.random.random() < 0.3:
        name = bench.choose(name for owner in ("splices", "grounds") for name in bench.section(owner) if not {(owner, name), ("cavities", name), ("owner", name)} & bench.touched)
    else:
        name = bench.pick(section)
    if name is None:
        return None
    return _setting(f"{section} {name} {key}", section, name, key, _words(bench)(""), (ChangeKind.TEXT_ONLY, SECTION_OF.get(section, Thing.CONTACT), name, key))


def logged(bench: Bench) -> Edit | None:
    if ("harness", "") in bench.touched:
        return None
    entry = {"revision": "C", "date": "2026-11-20", "by": "harness bench", "why": "a wire found broken"}
    return Edit("log", frozenset({("harness", "")}), frozenset({(ChangeKind.TEXT_ONLY, Thing.HARNESS, "", "log")}),
                lambda description: description.update(log=[*description.get("log", ()), entry]))


# ------------------------------------------------------------------ known and unknown

_CAN_BE_UNKNOWN = (
    ("wires", "size", "1.5 mm2"), ("wires", "colour", "Gr-L"), ("wires", "diameter", "2.1 mm"), ("connectors", "half", "socket"), ("connectors", "housing", "grey"),
    ("fuses", "rating", "7.5 A"), ("fuses", "type", "blade"), ("splices", "method", "solder"), ("grounds", "metal", "frame"), ("grounds", "stud", "M7"), ("segments", "length", "333 mm"),
    ("segments", "covering", "tape"), ("cavities", "function", "feed"), ("cavities", "signal", "gauge"), ("cavities", "draws", "1.7 A"), ("cavities", "limit", "1.7 A"), ("devices", "place", "P1"),
    ("relays", "coil", "77 ohm"), ("pairs", "lay", "33 mm"), ("segments", "zone", "hot"), ("connectors", "place", "P1"),
    ("segments", "bend", "55 mm"), ("segments", "clips", "210 mm"), ("segments", "slack", "35 mm"), ("segments", "covering-wall", "1.5 mm"), ("cavities", "bus", "comfort"), ("cavities", "bit-rate", "250 kbit/s"),
    ("cavities", "pulses", "4 per turn"), ("cavities", "clamp", "38 V"),
)


def now_known(bench: Bench) -> Edit | None:
    section, key, value = bench.choose(_CAN_BE_UNKNOWN)
    name = bench.pick(section, lambda name, entry: entry.get(key, "unknown") == "unknown" and (key != "place" or "at" not in entry))
    if name is None:
        return None
    return _setting(f"{section} {name} {key} known", section, name, key, value, (ChangeKind.NOW_KNOWN, SECTION_OF.get(section, Thing.CONTACT), name, key))


def no_longer_known(bench: Bench) -> Edit | None:
    section, key, _ = bench.choose(_CAN_BE_UNKNOWN)
    # a cavity of which nothing else is said, and a connector whose halves must mate, are for others
    name = bench.pick(section, lambda name, entry: entry.get(key, "unknown") != "unknown" and (section != "cavities" or len(entry) > 1)
                      and "mates" not in entry and not any(other.get("mates") == name for other in bench.section("connectors").values()))
    if name is None:
        return None
    value = bench.choose((None, "unknown")) if section != "cavities" or key == "function" else None
    return _setting(f"{section} {name} {key} unknown", section, name, key, value, (ChangeKind.NO_LONGER_KNOWN, SECTION_OF.get(section, Thing.CONTACT), name, key))


# -------------------------------------------------------------------- ends of wires

def _end_edit(bench: Bench, kind: ChangeKind, wire: str, key: str, new: str) -> Edit:
    old = bench.section("wires")[wire][key]
    touches = {("wires", wire), ("cavity", old), ("cavity", new), ("owner", old), ("owner", new)}
    return Edit(f"wire {wire} {key} {old} -> {new}", frozenset(touches | {bench.owner_key(old), bench.owner_key(new)} - {("none", old), ("none", new)}),
                frozenset({(kind, Thing.WIRE, wire, "end")}), lambda description: description["wires"][wire].update({key: new}))


def moved(bench: Bench) -> Edit | None:
    """An end goes to a free cavity of the same connector; what is said of the cavity goes along or stays."""
    free = {address.rpartition(".")[0]: bench.free(address.rpartition(".")[0]) for address in bench.free()}
    end = bench.choose(bench.ends(lambda wire, address: is_cavity(bench, address) and bool(free.get(address.rpartition(".")[0])) and len(bench.wired[address]) == 1))
    if end is None:
        return None
    wire, key, old = end
    new = bench.choose(free[old.rpartition(".")[0]])
    edit = _end_edit(bench, ChangeKind.MOVED, wire, key, new)
    if old not in bench.section("cavities") or bench.random.random() < 0.4:
        return edit

    def apply(description: Description) -> None:
        edit.apply(description)
        description["cavities"][new] = description["cavities"].pop(old)

    # what is fitted is told of each of the two cavities: that is what must be pinned, plugged and bought
    fitted = {(ChangeKind.PART_CHANGED, Thing.CONTACT, address, key) for address in (old, new) for key in ("terminal", "seal", "plug") if key in bench.section("cavities")[old]}
    return Edit(f"{edit.name} with what is said", edit.touches | {("cavities", old), ("cavities", new)},
                edit.expected | fitted | {(ChangeKind.MOVED, Thing.CONTACT, new, "")}, apply)


def part_moved(bench: Bench) -> Edit | None:
    """A fuse or relay sits in another box."""
    return _change(bench, ChangeKind.MOVED, bench.choose(("fuses", "relays")), "box", _other(bench, bench.section("boxes")))


def re_ended(bench: Bench) -> Edit | None:
    what = bench.choose(("connector", "ground", "open", "splice"))
    if what == "splice":
        end = bench.choose(bench.ends(lambda wire, address: bench.owner_key(address)[0] == "splices"))
        new = end and bench.pick("splices", lambda name, entry: name != end[2] and name not in bench.section("wires")[end[0]].values())
    else:
        end = bench.choose(bench.ends(lambda wire, address: is_cavity(bench, address)))
        other = end and bench.section("wires")[end[0]]["from" if end[1] == "to" else "to"]
        if end is None or not known(other):
            return None
        if what == "connector":
            new = bench.choose(address for address in bench.free(but=end[2].rpartition(".")[0]) if address.rpartition(".")[0] != other.rpartition(".")[0])
        else:
            new = "open" if what == "open" else bench.pick("grounds", lambda name, entry: name != other)
    return None if end is None or new is None else _end_edit(bench, ChangeKind.RE_ENDED, end[0], end[1], new)


def spliced(bench: Bench) -> Edit | None:
    end = bench.choose(bench.ends(lambda wire, address: is_cavity(bench, address)))
    splice = end and bench.pick("splices", lambda name, entry: name not in bench.section("wires")[end[0]].values())
    return None if end is None or splice is None else _end_edit(bench, ChangeKind.SPLICED, end[0], end[1], splice)


def unspliced(bench: Bench) -> Edit | None:
    end = bench.choose(bench.ends(lambda wire, address: bench.owner_key(address)[0] == "splices"))
    new = end and bench.choose(address for address in bench.free() if address.rpartition(".")[0] not in
                               {part.rpartition(".")[0] for part in bench.section("wires")[end[0]].values() if isinstance(part, str)})
    return None if end is None or new is None else _end_edit(bench, ChangeKind.UNSPLICED, end[0], end[1], new)


def end_found(bench: Bench) -> Edit | None:
    end = bench.choose(bench.ends(lambda wire, address: address == "unknown"))
    new = end and bench.choose(bench.free())
    return None if end is None or new is None else _end_edit(bench, ChangeKind.NOW_KNOWN, end[0], end[1], new)


def end_lost(bench: Bench) -> Edit | None:
    def other_known(wire: str) -> bool:
        return all(map(known, (bench.section("wires")[wire]["from"], bench.section("wires")[wire]["to"])))

    end = bench.choose(bench.ends(lambda wire, address: is_cavity(bench, address) and other_known(wire)))
    return None if end is None else _end_edit(bench, ChangeKind.NO_LONGER_KNOWN, end[0], end[1], "unknown")


# ----------------------------------------------------------------- things come and go

def _adding(bench: Bench, section: str, name: str, entry: dict[str, Any], *touches: tuple[str, str]) -> Edit:
    def apply(description: Description) -> None:
        description.setdefault(section, {})[name] = entry

    return Edit(f"{section} {name} added", frozenset({(section, name), ("id", name), *touches}), frozenset({(ChangeKind.ADDED, SECTION_OF[section], name, "")}), apply)


def added(bench: Bench) -> Edit | None:
    section = bench.choose(("wires", "wires", "wires", "splices", "grounds", "fuses", "connectors", "devices", "segments", "circuits", "places", "pairs"))
    words = _words(bench)("")
    point = bench.choose(sorted({entry[end] for entry in bench.section("segments").values() for end in ("from", "to")}))
    if section == "wires":
        free = bench.free()
        if len({address.rpartition(".")[0] for address in free}) < 2:
            return None
        one = bench.choose(free)
        other = bench.choose((bench.choose(address for address in free if address.rpartition(".")[0] != one.rpartition(".")[0]), "unknown", bench.pick("grounds")))
        if other is None:
            return None
        entry = {"from": one, "to": other, "size": bench.choose(SIZES), "colour": bench.choose(COLOURS), "circuit": bench.choose(bench.section("circuits")) or "new use"}
        return _adding(bench, "wires", bench.new_id(), entry, ("cavity", one), ("cavity", other), ("owner", one), ("owner", other), bench.owner_key(one), bench.owner_key(other))
    entry = {
        "splices": {"place": point, "method": "solder"}, "grounds": {"title": words, "place": point, "stud": "M7"}, "fuses": {"title": words, "rating": "3 A"},
        "connectors": {"title": words, "place": point, "face": [["1", "2"]], "view": "wire side"}, "devices": {"title": words, "place": point},
        "segments": {"from": point, "to": f"end of {words}", "length": "111 mm"}, "circuits": {"title": words, "system": "extra"}, "places": {"title": words, "zone": "cabin"},
        "pairs": {"title": words, "lay": "44 mm"},
    }[section]
    name = bench.new_id(section[0].upper())
    return _adding(bench, section, name, entry)    # a point that only a segment names is no thing of its own


def removed(bench: Bench) -> Edit | None:
    """A wire goes; or something that nothing refers to; or a splice with all that ends in it."""
    section = bench.choose(("wires", "wires", "wires", "splices", "devices", "pairs"))
    if section == "wires":
        name = bench.pick("wires", lambda name, entry: "pair" not in entry and "cable" not in entry and entry.get("circuit", "") in {*bench.section("circuits"), ""})
        if name is None:
            return None
        ends = [bench.section("wires")[name][key] for key in ("from", "to")]
        touches = {("wires", name), *(("cavity", end) for end in ends if known(end)), *(("owner", end) for end in ends)}
        return Edit(f"wire {name} removed", frozenset(touches | {bench.owner_key(end) for end in ends if known(end)}),
                    frozenset({(ChangeKind.REMOVED, Thing.WIRE, name, "")}), lambda description: description["wires"].pop(name))
    if section == "devices":
        name = bench.pick("devices", lambda name, entry: "terminals" not in entry)
        return None if name is None else Edit(f"device {name} removed", frozenset({("devices", name)}), frozenset({(ChangeKind.REMOVED, Thing.DEVICE, name, "")}),
                                              lambda description: description["devices"].pop(name))
    if section == "pairs":
        name = bench.pick("pairs")
        members = [wire for wire, entry in bench.section("wires").items() if entry.get("pair") == name]
        if name is None or any(("wires", wire) in bench.touched for wire in members):
            return None

        def unpair(description: Description) -> None:
            del description["pairs"][name]
            for wire in members:
                del description["wires"][wire]["pair"]

        return Edit(f"pair {name} removed", frozenset({("pairs", name), *(("wires", wire) for wire in members)}),
                    frozenset({(ChangeKind.REMOVED, Thing.PAIR, name, ""), *((ChangeKind.RE_TWISTED, Thing.WIRE, wire, "pair") for wire in members)}), unpair)
    name = bench.pick("splices")
    members = bench.wired.get(name or "", [])
    if name is None or name in bench.section("cavities") or any(("wires", wire) in bench.touched or "pair" in bench.section("wires")[wire] for wire in members):
        return None

    def apply(description: Description) -> None:
        del description["splices"][name]
        for wire in members:
            del description["wires"][wire]

    touches = {("splices", name), ("owner", name), *(("wires", wire) for wire in members)}
    for wire in members:
        for end in (bench.section("wires")[wire]["from"], bench.section("wires")[wire]["to"]):
            touches |= {("cavity", end), bench.owner_key(end)}
    return Edit(f"splice {name} removed with {len(members)} wires", frozenset(touches),
                frozenset({(ChangeKind.REMOVED, Thing.SPLICE, name, ""), *((ChangeKind.REMOVED, Thing.WIRE, wire, "") for wire in members)}), apply)


# --------------------------------------------------------------------------- renaming

def renamed(bench: Bench, section: str | None = None) -> Edit | None:
    section = section or bench.choose(("wires",) * 5 + tuple(SECTION_OF))
    name = bench.pick(section, lambda name, entry: not (section in OWNER_SECTIONS and any(
        what == "owner" and (touched == name or touched.rpartition(".")[0] == name) for what, touched in bench.touched)))
    if name is None:
        return None
    new = bench.new_id(section[0].upper())
    return Edit(f"{section} {name} renamed {new}", frozenset({(section, name), (section, new), ("id", new), ("owner", name)}),
                frozenset({(ChangeKind.RENAMED, SECTION_OF[section], new, "")}), partial(rename, section=section, names={name: new}))


EDITS: Mapping[str, tuple[Callable[[Bench], Edit | None], ...]] = {
    "added": (added,), "removed": (removed,), "renamed": (renamed,), "moved": (moved, moved, moved, part_moved), "re-ended": (re_ended,),
    "recoloured": (recoloured,), "resized": (resized,), "re-routed": (re_placed, splice_shifted, via_given), "re-lengthened": (re_lengthened, re_lengthened, re_lengthened, allowances_changed),
    "spliced": (spliced,), "unspliced": (unspliced,), "part changed": (part_changed,), "unknown now known": (now_known, now_known, end_found),
    "known now unknown": (no_longer_known, no_longer_known, end_lost), "text only": (text_only, text_only, text_only, logged), "use changed": (use_changed,),
    "re-twisted": (re_twisted,),
}
"""Kind of change -> the edits that make one."""


def propose(bench: Bench, kind: str) -> Edit | None:
    """An edit of a kind; None where none was found in some tries."""
    for _ in range(30):
        edit = bench.choose(EDITS[kind])(bench)
        if edit is not None and not edit.touches & bench.touched:
            return edit
    return None
