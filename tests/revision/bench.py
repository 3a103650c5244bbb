"""Descriptions as plain maps: how they become versions, what in them can be edited, and other ids for their things.

A description is the plain maps of its YAML, every value text. Takes nothing from
``harnessdoc/revision`` but the words for things.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from random import Random
from typing import Any

import yaml

from harnessdoc.findings import Severity
from harnessdoc.revision.changes import Thing
from harnessdoc.revision.version import Version
from harnessdoc.steps import load

Description = dict[str, Any]

LINNET = Path(__file__).resolve().parents[2] / "examples" / "linnet" / "linnet.yaml"
OWNER_SECTIONS = {
    "connectors": Thing.CONNECTOR, "devices": Thing.DEVICE, "boxes": Thing.BOX, "fuses": Thing.PART, "fusible-links": Thing.PART,
    "relays": Thing.PART, "diodes": Thing.PART, "resistors": Thing.PART, "splices": Thing.SPLICE, "grounds": Thing.GROUND,
}
OTHER_SECTIONS = {"wires": Thing.WIRE, "circuits": Thing.CIRCUIT, "segments": Thing.SEGMENT, "places": Thing.POINT, "cables": Thing.CABLE, "pairs": Thing.PAIR}
SECTION_OF = {**OWNER_SECTIONS, **OTHER_SECTIONS}


# ----------------------------------------------------------------- files and versions

def linnet() -> Description:
    return yaml.load(LINNET.read_text(encoding="utf-8"), yaml.CBaseLoader if hasattr(yaml, "CBaseLoader") else yaml.BaseLoader)


def text_of(description: Description) -> str:
    """The description as a file: one line an entry, in flow style."""
    lines = []
    for section, entries in description.items():
        if section in SECTION_OF or section == "cavities":
            if entries:
                lines += [f"{section}:", *(f"  {json.dumps(name)}: {json.dumps(entry, ensure_ascii=False)}" for name, entry in entries.items())]
        else:
            lines.append(f"{section}: {json.dumps(entries, ensure_ascii=False)}")
    return "\n".join(lines) + "\n"


def version_of(description: Description) -> Version:
    return version_of_text(text_of(description))


@lru_cache(maxsize=64)
def version_of_text(text: str) -> Version:
    return version_of_texts({"harness.yaml": text})


def version_of_texts(texts: Mapping[str, str], main: str = "harness.yaml", allowed: str = "") -> Version:
    """A version from files; it must be free of errors (but those of the code ``allowed``), or what is compared is not what was meant."""
    # what is told of changes does not rest on the solve, which has its own tests; unsolved, the same number of edits takes a third of the time
    loaded = load(main, texts=texts, solve=False)
    assert loaded.harness is not None and loaded.network is not None and loaded.geometry is not None, loaded.findings
    errors = [finding for finding in loaded.findings if finding.severity is Severity.ERROR and finding.code != allowed]
    assert not errors, errors
    return loaded.version


# --------------------------------------------------------------------------- looking

class Bench:
    """A description to propose edits on, the chance that chooses, and what is not to be touched again."""

    def __init__(self, description: Description, random: Random, touched: Iterable[tuple[str, str]] = ()) -> None:
        self.description, self.random, self.touched = description, random, frozenset(touched)
        self.wired: dict[str, list[str]] = {}
        for name, wire in self.section("wires").items():
            for end in (wire["from"], wire["to"]):
                self.wired.setdefault(end, []).append(name)
        self.ids = {name for section in (*SECTION_OF, "cavities") for name in self.section(section)}

    def section(self, name: str) -> dict[str, Any]:
        return self.description.get(name, {})

    def pick(self, section: str, test: Callable[[str, dict[str, Any]], bool] = lambda name, entry: True) -> str | None:
        return self.choose(name for name, entry in self.section(section).items() if (section, name) not in self.touched and test(name, entry))

    def choose(self, candidates: Iterable[Any]) -> Any:
        listed = list(candidates)
        return self.random.choice(listed) if listed else None

    def new_id(self, prefix: str = "") -> str:
        while True:
            name = f"{prefix}{self.random.randrange(700, 1000)}"
            if name not in self.ids and ("id", name) not in self.touched:
                return name

    def free(self, owner: str | None = None, but: str | None = None) -> list[str]:
        """Cavities of connectors with nothing in them and nothing said of them, and untouched."""
        described = self.section("cavities")
        return [
            f"{name}.{cavity}" for name, entry in self.section("connectors").items()
            if (owner is None or name == owner) and name != but and ("connectors", name) not in self.touched
            for cavity in cavities_of(entry.get("face", ()))
            if f"{name}.{cavity}" not in self.wired and f"{name}.{cavity}" not in described and ("cavity", f"{name}.{cavity}") not in self.touched
        ]

    def owner_key(self, address: str) -> tuple[str, str]:
        """("connectors", "X1") for ``X1.3``; for a splice ("splices", its id)."""
        for name in (address, address.rpartition(".")[0]):
            for section in OWNER_SECTIONS:
                if name in self.section(section):
                    return section, name
        return "none", address

    def ends(self, test: Callable[[str, str], bool]) -> list[tuple[str, str, str]]:
        """(wire, "from" or "to", address) of untouched wires, where ``test(wire, address)``."""
        return [(name, key, wire[key]) for name, wire in self.section("wires").items() if ("wires", name) not in self.touched
                for key in ("from", "to") if self.owner_key(wire[key]) not in self.touched and ("cavity", wire[key]) not in self.touched and test(name, wire[key])]


def cavities_of(face: Any) -> list[str]:
    """The cavities on a face, in the order written."""
    items = [*face["ring"], *([face["centre"]] if "centre" in face else [])] if isinstance(face, dict) else [item for row in face for item in row]
    cavities: list[str] = []
    for item in items:
        if isinstance(item, dict):
            cavities.append(item["cavity"])
        elif match := re.fullmatch(r"(\d+)\.\.(\d+)", item):
            first, last = int(match[1]), int(match[2])
            cavities += map(str, range(first, last + 1) if first <= last else range(first, last - 1, -1))
        elif item not in ("gap", "half"):
            cavities.append(item)
    return cavities


def known(address: str) -> bool:
    return address not in ("unknown", "open")


def is_cavity(bench: Bench, address: str) -> bool:
    return bench.owner_key(address)[0] == "connectors"


# --------------------------------------------------------------------------- renaming

def rename(description: Description, section: str, names: Mapping[str, str]) -> None:
    """Gives things of a section other ids, wherever they are named; all at once, so that ids may swap."""
    if section == "owners":    # several kinds of owners at once
        for owned in OWNER_SECTIONS:
            _rename_keys(description, owned, names)
    else:
        _rename_keys(description, section, names)
    if section in OWNER_SECTIONS or section == "owners":
        _rename_owners(description, names)
    kind = {"wires": "wire", "segments": "segment", "circuits": "circuit", "pairs": "pair", "cables": "cable", "places": "place"}.get(section)
    for waiver in description.get("waivers", ()) if kind else ():
        waiver["at"] = " ".join((kind, names.get(id, id))) if (id := waiver["at"].removeprefix(f"{kind} ")) != waiver["at"] else waiver["at"]
    if section == "circuits":
        _rename_values(description, ("wires", "cavities", "fuses"), "circuit", names)
    if section in ("pairs", "cables"):
        _rename_values(description, ("wires",), section.removesuffix("s"), names)
    if section in ("segments", "places"):
        for wire in description.get("wires", {}).values():
            if "via" in wire:
                wire["via"] = [names.get(item, item) for item in wire["via"]]
    if section == "places":
        _rename_values(description, OWNER_SECTIONS, "place", names)
        for key in ("from", "to"):
            _rename_values(description, ("segments",), key, names)
        for splice in description.get("splices", {}).values():
            if "at" in splice:
                match = re.fullmatch(r"(.+?) from (.+) toward (.+)", splice["at"])
                assert match is not None
                splice["at"] = f"{match[1]} from {names.get(match[2], match[2])} toward {names.get(match[3], match[3])}"


def _rename_keys(description: Description, section: str, names: Mapping[str, str]) -> None:
    if section in description:
        description[section] = {names.get(name, name): entry for name, entry in description[section].items()}


def _rename_values(description: Description, sections: Iterable[str], key: str, names: Mapping[str, str]) -> None:
    for section in sections:
        for entry in description.get(section, {}).values():
            if key in entry:
                entry[key] = names.get(entry[key], entry[key])


def _rename_owners(description: Description, names: Mapping[str, str]) -> None:
    def owner(name: str) -> str:
        return names.get(name, name)

    def address(written: str) -> str:
        if written in names:
            return names[written]
        before, dot, after = written.rpartition(".")
        return f"{owner(before)}.{after}" if dot else written

    for wire in description.get("wires", {}).values():
        wire["from"], wire["to"] = address(wire["from"]), address(wire["to"])
    if "cavities" in description:
        description["cavities"] = {address(name): entry for name, entry in description["cavities"].items()}
    _rename_values(description, ("connectors",), "mates", names)
    _rename_values(description, OWNER_SECTIONS, "box", names)
    for device in description.get("devices", {}).values():
        device |= {key: [owner(name) for name in device[key]] for key in ("connectors", "stays-with") if key in device}
        device |= {key: [address(name) for name in device[key]] for key in ("between",) if key in device}
        device |= {key: [[address(end) for end in pair] for pair in device[key]] for key in ("links",) if key in device}
        if "closes" in device:
            device["closes"] = {position: [[address(end) for end in pair] for pair in pairs] for position, pairs in device["closes"].items()}
        for load in device.get("loads", {}).values():
            load["between"] = [address(name) for name in load["between"]]
        if "alternator" in device:
            device["alternator"] |= {key: address(device["alternator"][key]) for key in ("charge-lamp", "sense") if key in device["alternator"]}
    for waiver in description.get("waivers", ()):
        waiver["at"] = address(waiver["at"])
    for state in description.get("states", {}).values():
        state |= {"switches": {owner(switch): position for switch, position in state.get("switches", {}).items()},
                  "commanded": [address(name) for name in state.get("commanded", ())]}
    for box in description.get("boxes", {}).values():
        box |= {key: [[owner(name) for name in row] for row in box[key]] for key in ("lid",) if key in box}
        box |= {key: [owner(name) for name in box[key]] for key in ("spare",) if key in box}
        if "bars" in box:
            box["bars"] = {bar: [address(end) for end in joins] for bar, joins in box["bars"].items()}
