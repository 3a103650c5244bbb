"""Small random descriptions, and pairs of versions of them, for property tests.

A description is the plain maps of its YAML, as in ``bench.py``: a bit of everything the
language has, with much left out. No cavity holds two wires but on purpose, no two wires join
the same two ends: which of two such wires is which is nobody's to say.
"""

from __future__ import annotations

from random import Random
from typing import Any

from hypothesis import strategies as st
from revision.bench import Bench, Description
from revision.edits import (
    COLOURS,
    EDITS,
    SIGNALS,
    SIZES,
    TYPES,
    WORDS,
    Edit,
    edited,
    propose,
)

_CIRCUITS = ("feed", "ground return", "lamp", "sense")


@st.composite
def descriptions(draw: st.DrawFn) -> Description:
    """Up to 6 points, 5 connectors, 3 splices, 2 grounds, a box with fuses and a relay, and 14 wires."""
    def maybe(**entries: Any) -> dict[str, Any]:
        return {key: value for key, value in entries.items() if draw(st.booleans())}

    def one(choices: Any) -> Any:
        return draw(st.sampled_from(list(choices)))

    points = [f"P{n}" for n in range(1, draw(st.integers(2, 6)) + 1)]
    segments = {f"T{n}": {"from": one(points[:n]), "to": points[n], **maybe(length=f"{draw(st.integers(40, 400))} mm", covering="tape", zone=one(("engine", "cabin")), near={"fuel": "120 mm"}, bend="40 mm", clips="300 mm", slack="60 mm", sections={"A": "20 mm"})}
                for n in range(1, len(points))}
    connectors: dict[str, dict[str, Any]] = {}
    sizes: dict[str, int] = {}
    for n in range(1, draw(st.integers(2, 5)) + 1):
        name, sizes[f"X{n}"] = f"X{n}", draw(st.integers(1, 6))
        connectors[name] = {**maybe(title=f"{one(WORDS)} plug", place=one(points), half=one(("plug", "socket")), housing="black", terminal="pin 1.5", service="80 mm"),
                            "face": [[f"1..{sizes[name]}"]], "view": one(("mating face", "wire side"))}
    splices = {f"S{n}": {"place": one(points), **maybe(method="solder", title=one(WORDS))} for n in range(draw(st.integers(0, 3)))}
    grounds = {f"G{n}": maybe(place=one(points), title=one(WORDS), stud="M6", terminal="eyelet M6", hinged="true") for n in range(draw(st.integers(0, 2)))}
    fuses = {f"F{n}": maybe(rating=one(("5 A", "10 A")), title=one(WORDS), type="blade", feeds=one(WORDS)) for n in range(draw(st.integers(0, 3)))}
    relays = {"K1": maybe(title="fan relay", coil="85 ohm", suppression="diode", part="mini relay 40 A", **{"pull-in": "7 V"})} if draw(st.booleans()) else {}
    boxes: dict[str, dict[str, Any]] = {}
    if fuses and draw(st.booleans()):
        boxes = {"B1": {"bars": {"30": [f"{name}.1" for name in fuses]}, **maybe(place=one(points), title="box", lid=[[*fuses, "gap"]], spare=["F9"])}}
        for fuse in fuses.values():
            fuse["box"] = "B1"
    devices = {f"U{n}": {"connectors": [name], **maybe(title=one(WORDS), note=one(WORDS), **{"stays-with": ["U0", "reader"]})} for n, name in enumerate(connectors) if draw(st.booleans())}
    if draw(st.booleans()):
        devices["M1"] = {"terminals": ["30", "50"], **maybe(links=[["M1.30", "M1.50"]], title="motor", lamp="2 W at 12 V", place=one(points))}
        if draw(st.booleans()):
            devices["M1"]["loads"] = {"armature": {"between": ["M1.30", "M1.50"], "motor": {"running": "8 A at 12 V", **maybe(stalled="0.3 ohm")}}}
    if draw(st.booleans()):
        devices["G9"] = {"terminals": ["+", "-", "L"], "between": ["G9.+", "G9.-"], **one((
            {"battery": maybe(emf="12.6 V", resistance="8 mohm")}, {"alternator": {"charge-lamp": "G9.L", **maybe(voltage="14.2 V", limit="75 A", excitation="120 mA")}},
            {"heater": "2 ohm"}, {"solenoid": {"winding": "1 ohm", **maybe(**{"at-most": "2 s"})}}))}
        devices["Q9"] = {"terminals": ["1", "2"], "closes": {"pressed": [["Q9.1", "Q9.2"]]}, **maybe(rest="pressed")}
    singles = [f"{name}.{cavity}" for name, count in sizes.items() for cavity in range(1, count + 1)]
    singles += [f"{name}.{terminal}" for name in fuses for terminal in "12"] + (["K1.85", "K1.30"] if relays else [])
    many = [*splices, *grounds, *(f"M1.{terminal}" for terminal in ("30", "50") if "M1" in devices)]
    left = draw(st.permutations(singles))[:24]
    wires: dict[str, dict[str, Any]] = {}
    joined: set[frozenset[str]] = set()
    for n in range(draw(st.integers(0, 14))):
        if not left:
            break
        first = left.pop()
        second = one(["unknown", "open", *many, *many]) if not left or draw(st.booleans()) else left.pop()
        if frozenset((first, second)) in joined:
            continue
        joined.add(frozenset((first, second)))
        wires[str(n + 1)] = {"from": first, "to": second, **maybe(
            size=one(SIZES), colour=one(COLOURS), circuit=one(_CIRCUITS), type=one(TYPES), length="500 mm", note=one(WORDS), evidence="measured", via=[one(segments)],
            pair="PR1", diameter="2 mm", **{"free-air": "18 A"})}
    cavities = {address: maybe(function=one(WORDS), signal=one(SIGNALS), draws="1 A", terminal="pin 2.8", note=one(WORDS), diode="both", bus="body", pulses="2 per turn", clamp="45 V",
                               monitored="true", curve={"40 C": "1305 ohm", "100 C": "190 ohm"}, **{"pull-up": "2.2 kohm to 5 V", "bit-rate": "500 kbit/s"}) for address in (*singles, *many) if draw(st.integers(0, 2)) == 0}
    description: Description = {"title": "small harness", "colours": "Japanese trade", **maybe(owner="the bench", supply="24 V", note=one(WORDS), ampacity="AC 43.13-1B"), **maybe(**{"wire-type": "PVC 85 C"})}
    # one waiver: that one of two names is gone tells the same change as that both are
    description |= maybe(terminals={"pin 1.5": {"takes": "0.5 mm2 to 1.5 mm2", **maybe(note=one(WORDS))}},
                         waivers=[{"at": one(("segment T1", "X1", "wire 1", "X1.1")), "code": "not-known-yet", "reason": one(WORDS), "date": "2026-09-14"}])
    if "Q9" in devices:
        description |= maybe(zones={"engine": "90 C"}, states={"held": {"engine": "running", "switches": {"Q9": "pressed"}, "commanded": []}})
    sections = {"places": {"P1": {"title": "bulkhead"}} if draw(st.booleans()) else {}, "segments": segments, "devices": devices, "connectors": connectors,
                "cavities": {address: entry for address, entry in cavities.items() if entry}, "boxes": boxes, "fuses": fuses, "relays": relays, "splices": splices,
                "grounds": grounds, "circuits": {name: maybe(system="lights", hot=["always"], pulsed="true") or {"system": "other"} for name in _CIRCUITS if draw(st.booleans())},
                "pairs": {"PR1": {"lay": "20 mm"}, "PR2": {"title": "spare pair"}}, "wires": wires}
    return description | {section: entries for section, entries in sections.items() if entries}


@st.composite
def edits_of(draw: st.DrawFn, description: Description, most: int, kinds: tuple[str, ...] = tuple(EDITS)) -> list[Edit]:
    """Edits of which no two touch the same, each proposed on ``description`` itself."""
    random = Random(draw(st.integers(0, 2**16)))
    made: list[Edit] = []
    for kind in draw(st.lists(st.sampled_from(kinds), min_size=1, max_size=most)):
        edit = propose(Bench(description, random, {touched for edit in made for touched in edit.touches}), kind)
        if edit is not None:
            made.append(edit)
    return made


@st.composite
def version_pairs(draw: st.DrawFn) -> tuple[Description, Description]:
    """A description and the same after up to eight edits, one on top of another."""
    old = draw(descriptions())
    new = old
    random = Random(draw(st.integers(0, 2**16)))
    for kind in draw(st.lists(st.sampled_from(tuple(EDITS)), max_size=8)):
        edit = propose(Bench(new, random), kind)
        new = edited(new, edit) if edit else new
    return old, new
