"""The examples: they validate, they hold what they are meant to show, they are right as wiring."""

from __future__ import annotations

import json
import re
from collections import Counter

import jsonschema
import pytest

from harnessdoc.findings import Severity
from harnessdoc.steps import load
from harnessdoc.trade.signals import signals

from . import raw

LINNET = raw.whole("linnet")
SCHEMA = raw.EXAMPLES.parent / "schemas" / "harness.schema.json"

# Smallest copper behind a fuse, A -> mm2: 10 to 30 A after a truck maker's table
# (trade.md 2, row 4); 5 A and what is above 30 A common practice.
COPPER_MM2 = {5: 0.5, 10: 0.85, 15: 1.25, 20: 2.0, 30: 5.0, 80: 16.0}


def area_mm2(text: str) -> float:
    """The area of a size of the examples; AWG after the ASTM B258 formula, from memory."""
    number, unit = text.split()
    if unit == "mm2":
        return float(number)
    diameter_mm = 0.127 * 92 ** ((36 - int(number)) / 39)
    return 3.141592653589793 / 4 * diameter_mm**2


@pytest.mark.parametrize("name", raw.NAMES)
def test_every_example_validates(name: str) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    for document in raw.documents(name):
        jsonschema.validate(document, schema, cls=jsonschema.Draft202012Validator)
    loaded = load(raw.main_file(name))
    assert [str(finding.place) + " " + finding.message for finding in loaded.findings if finding.severity is not Severity.ADVICE] == []
    assert loaded.harness is not None
    assert set(loaded.harness.wires) == set(raw.whole(name)["wires"])


def test_every_folder_is_an_example() -> None:
    assert sorted(path.name for path in raw.EXAMPLES.iterdir() if path.is_dir()) == sorted((*raw.NAMES, *raw.MERGES))


@pytest.mark.parametrize("name", raw.NAMES)
def test_every_signal_is_of_the_list(name: str) -> None:
    stated = {entry["signal"] for entry in raw.whole(name).get("cavities", {}).values() if "signal" in entry}
    assert stated <= set(signals())


@pytest.mark.parametrize("name", raw.NAMES)
def test_no_cavity_is_used_twice(name: str) -> None:
    harness = raw.whole(name)
    studs = {*harness.get("splices", {}), *harness.get("grounds", {}), "unknown", "open"}
    studs |= {f"{device}.{terminal}" for device, entry in harness.get("devices", {}).items() for terminal in entry.get("terminals", ())}
    studs |= {f"{box}.{bar}" for box, entry in harness.get("boxes", {}).items() for bar in entry.get("bars", ())}
    ends = Counter(end for wire in harness["wires"].values() for end in (wire["from"], wire["to"]) if end not in studs)
    assert [end for end, count in ends.items() if count > 1] == []


@pytest.mark.parametrize("name", ["first-merge", "linnet"])
def test_fuses_fit_the_wires_behind_them(name: str) -> None:
    harness = raw.whole(name)
    pairs = raw.joins(harness, closed=True)
    thin = []
    for fuse, entry in harness["fuses"].items():
        behind = raw.reached(pairs, f"{fuse}.2")
        least = COPPER_MM2[int(entry["rating"].removesuffix(" A"))]
        thin += [f"{fuse} {entry['rating']}: wire {wire} {line['size']}" for wire, line in harness["wires"].items()
                 if {line["from"], line["to"]} & behind and area_mm2(line["size"]) < least]
    assert thin == []


# --------------------------------------------------------------------------- first-wires


def test_first_wires_is_small_and_has_an_unknown() -> None:
    lines = raw.main_file("first-wires").read_text(encoding="utf-8").splitlines()
    harness = raw.whole("first-wires")
    assert len(lines) <= 12
    assert len(harness["wires"]) == 4
    assert [wire["to"] for wire in harness["wires"].values()].count("unknown") == 1
    assert all("face" in connector for connector in harness["connectors"].values())


# -------------------------------------------------------------------------------- linnet


def test_linnet_meets_the_counts() -> None:
    faces = {name: entry["face"] for name, entry in LINNET["connectors"].items()}
    assert len(LINNET["wires"]) >= 90
    assert len(faces) >= 18
    assert max(len(raw.cavities_of(face)) for face in faces.values()) >= 40
    assert any(isinstance(face, dict) and "ring" in face for face in faces.values())
    assert any("mates" in entry for entry in LINNET["connectors"].values())
    assert len(LINNET["splices"]) >= 8
    assert sum("at" in splice for splice in LINNET["splices"].values()) > len(LINNET["splices"]) / 2
    assert len(LINNET["relays"]) == 5
    assert Counter(fuse.get("box") for fuse in LINNET["fuses"].values())["B1"] >= 8
    assert LINNET["boxes"]["B1"]["bars"] and LINNET["boxes"]["B1"]["lid"]
    assert len(LINNET["fusible-links"]) == 1
    assert len(LINNET["grounds"]) >= 4
    assert {ground["metal"] for ground in LINNET["grounds"].values()} == {"engine", "body"}
    assert len(LINNET["segments"]) >= 20
    assert any("grommet" in segment for segment in LINNET["segments"].values())
    assert [entry["date"] for entry in raw.documents("linnet")[0]["log"]] == ["2026-09-14", "2026-10-20"]


def test_the_segments_of_linnet_are_a_tree() -> None:
    segments = LINNET["segments"].values()
    points = {segment[end] for segment in segments for end in ("from", "to")}
    pairs = [(segment["from"], segment["to"]) for segment in segments]
    assert len(points) == len(pairs) + 1
    assert raw.reached(pairs, "glovebox") == points


def test_the_crank_cable_is_shielded_and_its_drain_ends_open() -> None:
    cores = [wire for wire in LINNET["wires"].values() if wire.get("cable") == "CB1"]
    assert LINNET["cables"]["CB1"]["shield"] == "foil and braid"
    assert [wire.get("core", "core") for wire in cores] == ["core", "core", "drain"]
    assert [wire["to"] for wire in cores if wire.get("core") == "drain"] == ["open"]


@pytest.mark.parametrize("unit", ["E1", "E2"])
def test_every_cavity_of_the_control_unit_is_described(unit: str) -> None:
    connector = LINNET["connectors"][unit]
    wired = {end for wire in LINNET["wires"].values() for end in (wire["from"], wire["to"])}
    for cavity in raw.cavities_of(connector["face"]):
        address = f"{unit}.{cavity}"
        said = LINNET["cavities"][address]
        assert {"function", "signal"} <= set(said), address
        wants = ("terminal", "seal") if address in wired else ("plug",)
        assert all(key in said or key in connector for key in wants), address
        assert not ("plug" in said and address in wired), address


def test_every_load_of_linnet_has_a_fuse_and_a_return() -> None:
    pairs = raw.joins(LINNET, closed=True)
    fed = {f"{fuse}.2" for fuse in LINNET["fuses"]}
    returns = {address for address, entry in LINNET["cavities"].items() if entry.get("signal", "").startswith(("output-", "charge-lamp"))}
    returns |= set(LINNET["grounds"])
    loads = [device["between"] for device in LINNET["devices"].values() if "between" in device and not {"battery", "alternator"} & set(device)]
    loads += [[f"{relay}.86", f"{relay}.85"] for relay in LINNET["relays"]]
    loads += [[f"X{coil}.1", f"X{coil}.2"] for coil in (1, 2, 3, 4)]
    loads += [["X13.1", "X13.2"], ["X14.1", "X14.2"], ["E1.26", "E2.1"], ["E1.2", "E2.2"], ["X27.1", "X27.8"]]
    assert len(loads) >= 20
    for supply, back in loads:
        assert raw.reached(pairs, supply) & fed, supply
        assert raw.reached(pairs, back) & returns, back


def test_sensor_grounds_and_references_of_linnet_stay_apart() -> None:
    pairs = raw.joins(LINNET, closed=True)
    apart = [address for address, entry in LINNET["cavities"].items()
             if address.startswith(("E1.", "E2.")) and entry["signal"] in ("ground-sensor", "reference-5v")]
    assert len(apart) == 14
    for address in apart:
        island = raw.reached(pairs, address)
        assert not island & set(LINNET["grounds"]), address
        assert island & set(apart) == {address}
        assert any(end.startswith("X") for end in island), address


def test_the_diodes_of_linnet_stand_the_right_way() -> None:
    pairs = raw.joins(LINNET, closed=False)
    assert "X21.1" in raw.reached(pairs, "D1.K") and "K4.87" in raw.reached(pairs, "D1.K")
    assert "X21.2" in raw.reached(pairs, "D1.A") and "GB1" in raw.reached(pairs, "D1.A")
    outputs = {address for address, entry in LINNET["cavities"].items() if entry.get("signal", "").startswith("output-")}
    for name, relay in LINNET["relays"].items():
        # the diode in a relay has its cathode at 86: 86 takes the supply, 85 the command
        assert relay["suppression"] in ("diode", "resistor")
        assert raw.reached(pairs, f"{name}.85") & outputs
        assert not raw.reached(pairs, f"{name}.86") & outputs


def test_the_starter_of_linnet_turns_only_with_the_clutch_down() -> None:
    closed = raw.joins(LINNET, closed=True)
    clutch = [tuple(pair) for pair in LINNET["devices"]["S3"]["closes"]["pressed"]]
    assert "F22.1" in raw.reached(closed, "X29.50")
    assert "K8.86" in raw.reached(closed, "F22.2")
    assert "K8.86" not in raw.reached([pair for pair in closed if pair not in clutch], "F22.2")


# --------------------------------------------------------------------------------- heron


def test_heron_meets_the_counts() -> None:
    harness, main = raw.whole("heron"), raw.documents("heron")[0]
    spare = harness["boxes"]["B1"]["spare"]
    assert main["colours"] == "DIN 47002"
    assert len(harness["wires"]) >= 75
    assert sum(position.startswith("F") for position in spare) >= 3
    assert sum(position.startswith("K") for position in spare) >= 2
    assert "grommet" in harness["segments"]["T11"]
    assert [id for id, wire in harness["wires"].items() if "unknown" in (wire["from"], wire["to"])] == ["37", "168", "202"]
    assert all("evidence" in harness["wires"][id] for id in ("37", "168", "202"))


def test_every_load_of_heron_has_a_fuse_and_a_return() -> None:
    harness = raw.whole("heron")
    devices = harness["devices"]
    pairs = raw.joins(harness, closed=True)
    pairs += [tuple(link) for device in devices.values() for link in device.get("links", ())] + [("R1.1", "R1.2")]
    pairs += [tuple(devices[gauge]["between"]) for gauge in ("P1", "P4")]      # a gauge and its sender are one load in two places
    fed = {f"{fuse}.2" for fuse in harness["fuses"]}
    returns = {*harness["grounds"], *(address for address, entry in harness["cavities"].items() if entry.get("signal") == "ground-case")}
    returns |= {"X39.1", "X23.1"} | {"X44.3"}                                   # the two senders; the fridge closes its lamp to ground
    loads = [entry["between"] for name, device in devices.items() if name != "M1" for entry in (device, *device.get("loads", {}).values()) if "between" in entry
             and not {"battery", "alternator"} & set(entry)]
    loads += [[f"{relay}.86", f"{relay}.85"] for relay in harness["relays"]]
    # As found the wire of the charge lamp is cut, the pilot lamp hangs on the flasher's own contact, and D+ goes to the camper's relays without a fuse.
    loads = [load for load in loads if load not in (devices["H4"]["between"], devices["H1"]["between"])]
    assert len(loads) >= 35
    for supply, back in loads:
        assert raw.reached(pairs, supply) & (fed | {"G2.D+"}), supply
        assert raw.reached(pairs, back) & returns, back


# --------------------------------------------------------------------------- first-merge


def test_first_merge_ties_two_harnesses_with_four_joins_and_a_relay() -> None:
    main, host, donor = raw.documents("first-merge")
    harness = raw.whole("first-merge")
    assert len({document["colours"] for document in (main, host, donor)}) == 3
    assert len(harness["wires"]) == 12
    assert [splice["join"] for splice in main["splices"].values()] == ["J1", "J2", "J3", "J4"]
    assert list(main["relays"]) == ["K1"]
    for splice in main["splices"]:
        at = [file for file, document in (("host", host), ("donor", donor), ("added", main))
              for wire in document["wires"].values() if splice in (wire["from"], wire["to"])]
        assert len(at) == 2 and len(set(at)) == 2, splice


def test_the_relay_of_first_merge_follows_recipe_a() -> None:
    """86 the donor's switched supply behind a small fuse, 85 its output, 30 the battery behind a fuse, 87 the load (trade.md 5.3 A)."""
    pairs = raw.joins(raw.whole("first-merge"), closed=False)
    assert {"F2.2"} == raw.reached(pairs, "K1.86") - {"K1.86", "B1.coil"}
    assert "X12.2" in raw.reached(pairs, "F2.1")
    assert "E1.11" in raw.reached(pairs, "K1.85")
    assert "F1.2" in raw.reached(pairs, "K1.30") and "G1.+" in raw.reached(pairs, "F1.1")
    assert "X3.1" in raw.reached(pairs, "K1.87") and "GH1" in raw.reached(pairs, "X3.2")


# ---------------------------------------------------------------------- published tables

ISO_1724 = {
    "1": ("left turn (L)", "YE", "1.5 mm2"),
    "2": ("rear fog (54G)", "BU", "1.5 mm2"),
    "3": ("ground (31)", "WH", "2.5 mm2"),
    "4": ("right turn (R)", "GN", "1.5 mm2"),
    "5": ("right tail, number plate (58R)", "BN", "1.5 mm2"),
    "6": ("stop (54)", "RD", "1.5 mm2"),
    "7": ("left tail, number plate (58L)", "BK", "1.5 mm2"),
}


@pytest.mark.outside("ISO 1724 as printed by four sources, facts 7.2")
def test_trailer_lead_is_the_published_table() -> None:
    harness = raw.whole("trailer-lead")
    found = {}
    for wire in harness["wires"].values():
        assert re.fullmatch(r"X1\.[1-7]", wire["from"]) and wire["to"] == wire["from"].replace("X1", "X2")
        found[wire["from"].removeprefix("X1.")] = (harness["cavities"][wire["from"]]["function"], wire["colour"], wire["size"])
    assert found == ISO_1724
    assert raw.cavities_of(harness["connectors"]["X1"]["face"]) == list(ISO_1724)


@pytest.mark.outside("ISO 1724 as printed by three sources, facts 7.2: the plate lamp must not join 5 and 7")
def test_the_tails_of_the_trailer_lead_stay_apart() -> None:
    pairs = raw.joins(raw.whole("trailer-lead"), closed=True)
    assert "X1.7" not in raw.reached(pairs, "X1.5")


J1962 = {
    "2": "J1850 bus +", "4": "chassis ground", "5": "signal ground", "6": "CAN high", "7": "K-line",
    "10": "J1850 bus -", "14": "CAN low", "15": "L-line", "16": "battery positive",
    **dict.fromkeys(("1", "3", "8", "9", "11", "12", "13"), "maker's choice"),
}


@pytest.mark.outside("SAE J1962 and ISO 15031-3 as printed by three sources, facts 7.1")
def test_diagnostic_socket_is_the_published_table() -> None:
    harness = raw.whole("diagnostic-socket")
    functions = {address.removeprefix("X1."): entry["function"] for address, entry in harness["cavities"].items() if address.startswith("X1.")}
    assert functions == J1962
    wired = {wire["from"].removeprefix("X1."): wire for wire in harness["wires"].values()}
    assert sorted(wired, key=int) == ["4", "5", "6", "7", "14", "15", "16"]
    assert [cavity for cavity, wire in wired.items() if "pair" in wire] == ["6", "14"]
    assert sorted(raw.cavities_of(harness["connectors"]["X1"]["face"]), key=int) == sorted(J1962, key=int)
