"""What the circuit diagrams of the examples must show, read without the program where that can be."""

from __future__ import annotations

import csv
from pathlib import Path

import yaml
from examples import raw

from harnessdoc.model.harness import Harness

from .circuit_sheets import Truth, truth
from .random_circuits import Raw


def of_example(name: str) -> Truth:
    """Of an example that is no merge: its files as PyYAML and csv read them."""
    return of_sections(raw.whole(name))


def of_file(path: Path) -> Truth:
    """Of a description in one file."""
    return of_sections(yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader))


def of_sections(harness: dict) -> Truth:
    wires = {name: (wire["from"], wire["to"]) for name, wire in harness["wires"].items()}
    bars = {f"{name}.{bar}": members for name, box in harness.get("boxes", {}).items() for bar, members in box.get("bars", {}).items()}
    mates = [(f"{name}.{cavity}", f"{connector['mates']}.{cavity}") for name, connector in harness.get("connectors", {}).items()
             if "mates" in connector for cavity in raw.cavities_of(connector["face"])]
    return truth(wires, bars, mates)


def of_random(harness: Raw) -> Truth:
    """Of a random harness: the lists it was written from."""
    wires = {wire.id: (wire.a, wire.b) for wire in harness.wires}
    mates = [(f"{one}.{number}", f"{two}.{number}") for one, two in harness.mates for number in range(1, harness.connectors[one] + 1)]
    return truth(wires, harness.bars, mates)


def of_model(harness: Harness) -> Truth:
    """Of a merge, which has no lists but those the program makes of its sources."""
    wires = {wire.id: (wire.from_, wire.to) for wire in harness.wires.values()}
    bars = {bar.address: bar.joins for box in harness.boxes.values() for bar in box.bars}
    mates = [(address, f"{connector.mates}.{address.rpartition('.')[2]}")
             for connector in harness.connectors.values() if connector.mates for address in harness.contacts if harness.contacts[address].owner == connector.id]
    return truth(wires, bars, mates)


def of_published(folder: Path) -> Truth:
    """Of the published example harness: its table of wires; a splice's members are one."""
    with (folder / "kbl" / "engine.wires.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return truth({row["wire"]: tuple(row[end].rpartition(".")[0] if row[f"{kind}_kind"] == "splice" else row[end] for end, kind in (("from_", "from"), ("to", "to"))) for row in rows}, {}, [])
