"""The examples read by PyYAML and the csv module alone, so that the tests of the
examples do not lean on the program they are examples for.

Takes: the name of an example. Gives: its sections as plain maps of text, and copper
as sets of addresses.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import yaml

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NAMES = ("diagnostic-socket", "first-merge", "first-wires", "heron", "linnet", "trailer-lead")
MERGES = ("heron-linnet",)
"""Examples made of others: not to be read without the program."""
ONE = {"wires": "wire", "cavities": "cavity", "segments": "segment"}


def main_file(name: str) -> Path:
    return EXAMPLES / name / f"{name}.yaml"


def documents(name: str) -> list[dict[str, Any]]:
    """The files as written, main file first; every value is text."""
    main = yaml.load(main_file(name).read_text(encoding="utf-8"), yaml.BaseLoader)
    folder = main_file(name).parent
    return [main, *(yaml.load((folder / file).read_text(encoding="utf-8"), yaml.BaseLoader) for file in main.get("include", ()))]


def whole(name: str) -> dict[str, dict[str, Any]]:
    """Section -> id -> entry over all files and tables of an example."""
    sections: dict[str, dict[str, Any]] = {}
    folder = main_file(name).parent
    for document in documents(name):
        for section, entries in document.items():
            if isinstance(entries, dict) and section not in ("allowances", "tables"):
                sections.setdefault(section, {}).update(entries)
        for section, file in document.get("tables", {}).items():
            with (folder / file).open(encoding="utf-8", newline="") as stream:
                for row in csv.DictReader(stream):
                    entry = {key: value for key, value in row.items() if value}
                    sections.setdefault(section, {})[entry.pop(ONE[section])] = entry
    return sections


def cavities_of(face: Any) -> list[str]:
    """The cavities on a face, in the order written."""
    if isinstance(face, dict):
        items = [*face["ring"], *([face["centre"]] if "centre" in face else [])]
    else:
        items = [item for row in face for item in row]
    cavities: list[str] = []
    for item in items:
        if isinstance(item, dict):
            cavities.append(item["cavity"])
        elif ".." in item:
            first, last = map(int, item.split(".."))
            cavities += map(str, range(first, last + 1) if last >= first else range(first, last - 1, -1))
        elif item not in ("gap", "half"):
            cavities.append(item)
    return cavities


def joins(harness: dict[str, dict[str, Any]], closed: bool) -> list[tuple[str, str]]:
    """Pairs of addresses that are one piece of copper.

    closed: also through every switch and every relay contact, as if all were closed.
    """
    pairs = [(wire["from"], wire["to"]) for wire in harness["wires"].values()]
    for name, box in harness.get("boxes", {}).items():
        pairs += [(f"{name}.{bar}", address) for bar, members in box.get("bars", {}).items() for address in members]
    for name, connector in harness.get("connectors", {}).items():
        if "mates" in connector:
            pairs += [(f"{name}.{cavity}", f"{connector['mates']}.{cavity}") for cavity in cavities_of(connector["face"])]
    if closed:
        for device in harness.get("devices", {}).values():
            pairs += [(one, other) for position in device.get("closes", {}).values() for one, other in position]
        pairs += [(f"{relay}.30", f"{relay}.87") for relay in harness.get("relays", {})]
    return [pair for pair in pairs if not {"unknown", "open"} & set(pair)]


def reached(pairs: Iterable[tuple[str, str]], start: str) -> set[str]:
    """Every address on the copper of ``start``."""
    neighbours: dict[str, list[str]] = {}
    for one, other in pairs:
        neighbours.setdefault(one, []).append(other)
        neighbours.setdefault(other, []).append(one)
    found, waiting = {start}, [start]
    while waiting:
        for address in neighbours.get(waiting.pop(), ()):
            if address not in found:
                found.add(address)
                waiting.append(address)
    return found
