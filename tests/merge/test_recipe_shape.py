"""What recipes ask for, what they put in, and the wiring as text: without solving anything, but for two that go through a merge."""

from __future__ import annotations

import pytest
from merge.recipe_benches import BENCHES
from merge.vehicles import PLACES, merged

from harnessdoc.description.units import parse_size
from harnessdoc.findings import Severity
from harnessdoc.merge.recipes import RECIPES, expand, misfits, missing, unknown, wiring_text
from harnessdoc.merge.recipes.kit import size_behind
from harnessdoc.steps import load
from harnessdoc.trade.relay_wirings import relay_wirings

LOW = "low-side output to case-grounded load"
CHAIN = "start chain with interlock"
TWO = "two commanders on one load"


def lacking(name: str, *given: str) -> list[str]:
    return [role.name for role in missing(RECIPES[name], dict.fromkeys(given, "X1.1"))]


def at(name: str, given: dict[str, str], interface: str = "I2") -> dict[str, str]:
    """Terminal or splice -> what is there: the role whose end lands, and the address that a wire of the recipe leads to."""
    expansion = expand(interface, RECIPES[name], given)
    found = {address: role for role, address in expansion.lands.items()}
    for wire in expansion.sections["wires"].values():
        found |= {wire["to"]: wire["from"]}
    return found


def test_their_names():
    assert list(RECIPES) == [
        LOW, "high-side output to ground-switched load", "supply signal to ground input", "ground signal to supply input", "inverted with 87a", CHAIN, TWO,
        "control-unit-held main relay", "pull-up", "diode", "series resistor", "charge lamp excitation"]
    assert all(name == recipe.name for name, recipe in RECIPES.items())


# ------------------------------------------------------------------------------------------------------------ roles

@pytest.mark.parametrize("recipe", RECIPES.values(), ids=lambda recipe: recipe.name)
def test_the_example_can_be_followed_and_every_role_has_words(recipe):
    assert (missing(recipe, recipe.example), unknown(recipe, recipe.example), misfits(recipe, recipe.example)) == ((), (), ())
    assert all(role.what and role.kind in ("end", "feed", "ground", "value", "part") for role in recipe.roles)
    assert len({role.name for role in recipe.roles}) == len(recipe.roles)
    assert recipe.origin and recipe.cautions and all(caution.endswith(".") for caution in recipe.cautions)
    # Every role that another one speaks of is there.
    names = {role.name for role in recipe.roles}
    assert all({*role.along, *role.without, *role.against} <= names for role in recipe.roles)


@pytest.mark.parametrize("recipe", RECIPES.values(), ids=lambda recipe: recipe.name)
def test_a_role_that_is_always_needed_is_missed_when_it_alone_is_left_out(recipe):
    always = [role.name for role in recipe.roles if role.needed and not role.along and not role.without]
    assert always
    for name in always:
        rest = {other: text for other, text in recipe.example.items() if other != name}
        assert [role.name for role in missing(recipe, rest)] == [name]


@pytest.mark.parametrize("recipe", RECIPES.values(), ids=lambda recipe: recipe.name)
def test_every_end_that_is_given_lands_and_every_feed_and_ground_is_led_to(recipe):
    expansion = expand("I2", recipe, recipe.example)
    assert set(expansion.lands) == {name for name in recipe.example if recipe.role(name).kind == "end"}
    assert set(expansion.leads.values()) == {name for name in recipe.example if recipe.role(name).kind in ("feed", "ground")}
    for wire, role in expansion.leads.items():
        assert recipe.example[role] in (expansion.sections["wires"][wire]["from"], expansion.sections["wires"][wire]["to"])


def test_what_is_needed_follows_from_what_is_given():
    assert lacking(LOW) == ["command", "load", "feed", "coil-feed"]
    assert lacking("inverted with 87a") == ["low-side-command", "load", "feed"]
    assert lacking("inverted with 87a", "low-side-command", "load", "feed") == ["coil-feed"]
    assert lacking("inverted with 87a", "high-side-command", "load", "feed") == ["ground"]
    assert lacking(TWO, "load", "feed") == ["low-side-command"]
    assert lacking(TWO, "low-side-command", "load", "feed", "coil-feed") == ["second-low-side-command"]
    assert lacking(TWO, "low-side-command", "high-side-command", "load", "feed") == ["coil-feed", "ground"]
    assert lacking(TWO, "high-side-command", "load", "feed", "ground") == ["second-high-side-command"]
    assert lacking(TWO, "high-side-command", "second-high-side-command", "load", "feed", "ground") == []
    assert lacking(CHAIN, "key", "interlock", "interlock-out", "solenoid", "feed") == ["ground"]
    assert lacking(CHAIN, "key", "interlock", "interlock-out", "solenoid", "feed", "command") == []
    assert lacking("charge lamp excitation", "alternator") == ["lamp"]
    assert lacking("charge lamp excitation", "alternator", "resistor") == ["feed"]
    with pytest.raises(KeyError):
        RECIPES[LOW].role("solenoid")


def test_what_is_no_role_and_what_cannot_stand_so():
    low = RECIPES[LOW]
    assert unknown(low, {**low.example, "comand": "X1.1", "colour": "RD"}) == ("comand",)
    fault = {**low.example, "relay": "relay 40 A", "suppression": "diod", "load": low.example["command"]}
    assert [(misfit.role, misfit.words) for misfit in misfits(low, fault)] == [
        ("load", "names donor/E1.11, and so does `command`"), ("relay", "is 'relay 40 A'"), ("suppression", "is 'diod'")]
    assert "mini relay 40 A" in misfits(low, fault)[1].do
    chain = RECIPES[CHAIN]
    [both] = misfits(chain, {**chain.example, "command": "donor/E1.13"})
    assert (both.role, both.words) == ("command", "stands beside `ground`, where one of the two belongs")
    assert [misfit.role for misfit in misfits(chain, {**chain.example, "interlock-side": "earth"})] == ["interlock-side"]
    inverted = RECIPES["inverted with 87a"]
    assert [misfit.role for misfit in misfits(inverted, {**inverted.example, "high-side-command": "X2.2"})] == ["high-side-command"]
    # One address may well feed two things.
    assert misfits(low, {**low.example, "coil-feed": low.example["feed"]}) == ()


# ----------------------------------------------------------------------------------------------------- what is put in

@pytest.mark.outside("DIN 72552: 86 and 85 are start and end of the coil, 30 the common contact, 87 closes, 87a opens; a trade source teaches the first wiring alike")
def test_pin_by_pin():
    ends = {name: f"X{number}.1" for number, name in enumerate(("command", "load", "feed", "coil-feed", "ground", "coil-ground", "signal", "input", "input-ground"), 1)}

    def given(*names: str) -> dict[str, str]:
        return {name: ends[name] for name in names}

    assert at(LOW, given("command", "load", "feed", "coil-feed")) == {"I2-K.86": "X4.1", "I2-K.85": "command", "I2-K.30": "X3.1", "I2-K.87": "load"}
    assert at("control-unit-held main relay", given("command", "load", "feed", "coil-feed")) == {"I2-K.86": "X4.1", "I2-K.85": "command", "I2-K.30": "X3.1", "I2-K.87": "load"}
    assert at("high-side output to ground-switched load", given("command", "load", "ground", "coil-ground")) == {
        "I2-K.86": "command", "X6.1": "I2-K.85", "X5.1": "I2-K.30", "I2-K.87": "load"}
    assert at("supply signal to ground input", given("signal", "input", "ground", "input-ground")) == {"I2-K.86": "signal", "X5.1": "I2-K.85", "X9.1": "I2-K.30", "I2-K.87": "input"}
    assert at("ground signal to supply input", given("signal", "input", "feed", "coil-feed")) == {"I2-K.86": "X4.1", "I2-K.85": "signal", "I2-K.30": "X3.1", "I2-K.87": "input"}
    assert at("inverted with 87a", {"low-side-command": "X1.1", **given("load", "feed", "coil-feed")}) == {
        "I2-K.86": "X4.1", "I2-K.85": "low-side-command", "I2-K.30": "X3.1", "I2-K.87a": "load"}


@pytest.mark.parametrize(("letter", "name"), [("A", LOW), ("B", "high-side output to ground-switched load"), ("C", "supply signal to ground input"), ("D", "ground signal to supply input"),
                                              ("E", "inverted with 87a"), ("F", CHAIN), ("G", TWO), ("H", "control-unit-held main relay")])
def test_they_use_the_terminals_of_the_table_of_wirings(letter, name):
    expansion = expand("I2", RECIPES[name], RECIPES[name].example)
    ends = {*expansion.lands.values(), *(wire[key] for wire in expansion.sections["wires"].values() for key in ("from", "to"))}
    assert {end.removeprefix("I2-K.") for end in ends if end.startswith("I2-K.")} == set(relay_wirings()[letter].terminals)
    assert expansion.sections["relays"]["I2-K"]["contacts"] == ("changeover" if "87a" in relay_wirings()[letter].terminals else "make")


def test_the_start_chain_in_its_order_and_the_other_one_with_its_note():
    example = dict(RECIPES[CHAIN].example)
    expansion = expand("I5", RECIPES[CHAIN], example)
    assert expansion.lands == {"key": "I5-S", "interlock": "I5-S", "interlock-out": "I5-K.86", "solenoid": "I5-K.87"}
    assert expansion.sections["wires"]["I5-85"]["to"] == "host/GH1"
    assert not any("interlock" in note for note in expansion.notes)
    other = expand("I5", RECIPES[CHAIN], {**example, "interlock-side": "ground"})
    assert other.lands == {"key": "I5-K.86", "interlock": "I5-K.85", "interlock-out": "I5-S", "solenoid": "I5-K.87"}
    assert any("in the ground of the coil, as in the donor" in note for note in other.notes)
    output = expand("I5", RECIPES[CHAIN], {name: text for name, text in example.items() if name != "ground"} | {"command": "donor/E1.13"})
    assert output.lands["command"] == "I5-K.85" and "I5-85" not in output.sections["wires"]


@pytest.mark.parametrize(("side", "between"), [("supply", "86"), ("ground", "85")])
def test_the_table_of_wirings_puts_the_interlock_where_the_recipe_has_it(side, between):
    """In the table the one order stands at the terminals, the other in what is to be minded."""
    lands = expand("I5", RECIPES[CHAIN], {**RECIPES[CHAIN].example, "interlock-side": side}).lands
    assert {f"I5-K.{between}"} == {lands["interlock"], lands["interlock-out"]} & {"I5-K.86", "I5-K.85"}
    wiring = relay_wirings()["F"]
    said = wiring.terminals if side == "supply" else {words.rpartition(" ")[2]: words for words in wiring.mind.partition("ground of the coil: ")[2].replace("between 85 and ground", "at 85").split(", ")}
    assert [terminal for terminal, words in said.items() if "neutral or clutch switch" in words] == [between]
    assert [terminal for terminal, words in said.items() if "the key's start contact" in words] == ["86"]


def test_ids_fuses_sizes_and_colours():
    given = {**RECIPES[LOW].example, "coil-fuse": "5 A", "colour": "RD", "coil": "85 ohm"}
    sections = expand("I2", RECIPES[LOW], given).sections
    assert {section: list(entries) for section, entries in sections.items()} == {"relays": ["I2-K"], "fuses": ["I2-F86", "I2-F"], "wires": ["I2-F86-1", "I2-86", "I2-F-1", "I2-30"]}
    assert sections["relays"]["I2-K"] == {"title": "load relay", "part": "mini relay 40 A", "coil": "85 ohm", "contacts": "make", "suppression": "resistor",
                                          "commanded-by": "donor/E1.11", "feeds": "host/X3.1"}
    assert sections["fuses"]["I2-F"] == {"title": "load relay", "rating": "15 A", "type": "blade"}
    assert sections["wires"]["I2-F-1"] == {"from": "host/B1.30", "to": "I2-F.1", "size": "2.5 mm2", "colour": "RD"}
    assert sections["wires"]["I2-86"] == {"from": "I2-F86.2", "to": "I2-K.86", "size": "0.5 mm2", "colour": "RD"}
    fuses = [expand("I2", RECIPES[LOW], {**given, "fuse": stated}).sections["fuses"]["I2-F"] for stated in ("60 A", "30 A cartridge", "60 A, midi", "15")]
    assert [(fuse["rating"], fuse["type"]) for fuse in fuses] == [("60 A", "maxi"), ("30 A", "cartridge"), ("60 A", "midi"), ("15", "blade")]
    assert expand("I2", RECIPES[LOW], {**given, "fuse-place": "battery"}).sections["fuses"] == {
        "I2-F86": {"title": "load relay", "rating": "5 A", "type": "blade"}, "I2-F": {"title": "load relay", "rating": "15 A", "type": "blade", "place": "battery"}}
    resistors = [expand("I2", RECIPES["series resistor"], {"from": "A.1", "to": "B.1", "resistor": stated}).sections["resistors"]["I2-R"] for stated in ("47 ohm, 5 W", "4.7 kohm 0.5 W", "47 ohm", "much")]
    assert [(one["value"], one.get("power")) for one in resistors] == [("47 ohm", "5 W"), ("4.7 kohm", "0.5 W"), ("47 ohm", None), ("much", None)]


def test_sizes_that_nobody_knows_are_left_out():
    given = {name: text for name, text in RECIPES[LOW].example.items() if name != "fuse"}
    assert "size" not in expand("I2", RECIPES[LOW], given).sections["wires"]["I2-30"]
    assert expand("I2", RECIPES[LOW], {**given, "size": "4 mm2"}).sections["wires"]["I2-30"]["size"] == "4 mm2"
    assert [size_behind(stated) for stated in ("15", "400 A", "unknown")] == ["", "", ""]


@pytest.mark.outside("FAA AC 43.13-1B table 11-3: fuse by AWG number, the areas by the formula of ASTM B258")
@pytest.mark.parametrize(("fuse", "awg"), [("5 A", "22"), ("10 A", "18"), ("15 A", "14"), ("20 A", "12"), ("30 A", "10"), ("50 A", "8"), ("70 A", "6")])
def test_the_wire_behind_a_fuse_is_as_thick_as_the_handbook_has_it(fuse, awg):
    chosen, least = parse_size(size_behind(fuse)).area_mm2, parse_size(f"{awg} AWG").area_mm2
    assert least <= chosen < 1.6 * max(least, 0.5)


def test_one_part_takes_the_position():
    in_box = expand("I2", RECIPES[LOW], RECIPES[LOW].example, box="host/B1").sections
    assert in_box["relays"]["I2-K"]["box"] == "host/B1" and "box" not in in_box["fuses"]["I2-F"]
    two = expand("I2", RECIPES[TWO], {"low-side-command": "A.1", "high-side-command": "B.1", "load": "C.1", "feed": "D.1", "coil-feed": "E.1", "ground": "G1"}, box="host/B1").sections
    assert [entry.get("box") for entry in two["relays"].values()] == ["host/B1", None]
    pull_up = expand("I2", RECIPES["pull-up"], {**RECIPES["pull-up"].example, "fuse": "1 A", "fuse-place": "dash"}, box="host/B1").sections
    assert (pull_up["fuses"]["I2-F"]["box"], pull_up["fuses"]["I2-F"].get("place")) == ("host/B1", None) and "box" not in pull_up["resistors"]["I2-R"]


@pytest.mark.parametrize("name", BENCHES)
def test_no_terminal_of_its_parts_takes_two_wires(name):
    sections, landing = BENCHES[name].sections()
    ends = [*landing.values(), *(wire[key] for wire in sections.get("wires", {}).values() for key in ("from", "to"))]
    terminals = [end for end in ends if end.startswith("I1-") and end not in sections.get("splices", {})]
    assert terminals and sorted(terminals) == sorted(set(terminals))
    splices = [end for end in ends if end in sections.get("splices", {})]
    assert all(splices.count(splice) >= 2 for splice in sections.get("splices", {}))


def test_the_same_every_time():
    for bench in BENCHES.values():
        assert repr(expand("I1", RECIPES[bench.recipe], bench.given)) == repr(expand("I1", RECIPES[bench.recipe], dict(bench.given)))


# ------------------------------------------------------------------------------------------------------------- as text

@pytest.mark.parametrize("name", RECIPES)
def test_the_text_is_narrow_and_names_every_end(name):
    recipe = RECIPES[name]
    lines = wiring_text(recipe).splitlines()
    assert max(map(len, lines)) <= 72
    wiring = "\n".join(lines[:lines.index("to be written")])
    for role, text in recipe.example.items():
        assert not recipe.role(role).is_address or f"{role} {text}" in wiring
    assert all(any(line.strip().startswith(f"{role.name}:") for line in lines) for role in recipe.roles)


def test_the_text_terminal_by_terminal():
    text = wiring_text(RECIPES[LOW], {"command": "donor/E1.3", "feed": "host/B1.30", "fuse": "15 A", "coil-feed": "host/F4.2", "suppression": "diode"}, interface="I2")
    assert text.splitlines()[4:9] == [
        "  I2-K: relay (make), mini relay 40 A, diode across its coil",
        "    86   <- coil-feed host/F4.2",
        "    85   -> command donor/E1.3",
        "    30   <- feed host/B1.30, through fuse I2-F 15 A",
        "    87   -> load ...",
    ]
    assert "to be written" not in text


def test_the_text_shows_what_meets_in_a_splice_and_goes_through_a_diode():
    chain = wiring_text(RECIPES[CHAIN])
    assert "  I1-S: splice, key to interlock\n         -- key host/X1.50\n         -- interlock donor/X20.1\n" in chain
    two = wiring_text(RECIPES[TWO])
    assert "    85   -> low-side-command donor/E1.11, through diode I1-D1 1 A\n         -> second-low-side-command host/X12.4, through diode I1-D2 1 A\n" in two


def test_one_address_for_two_roles_keeps_both_names():
    text = wiring_text(RECIPES[LOW], {**RECIPES[LOW].example, "coil-feed": "host/B1.30"})
    assert "86   <- coil-feed host/B1.30" in text and "30   <- feed host/B1.30, through" in text


# ----------------------------------------------------------------------------------------------------- through a merge

def test_a_relay_in_a_spare_position_of_a_merge():
    loaded = merged(PLACES + "joins:\n  J1: {ends: [donor/E1.2, host/M0.1], through: I1}\n"
                    f"interfaces:\n  I1: {{recipe: {LOW}, command: donor/E1.2, load: host/M0.1, feed: host/G1.+, coil-feed: host/SP9, fuse: 10 A, fuse-place: host/battery, position: host/K3, place: bulkhead, colour: RD}}\n")
    assert [finding.message for finding in loaded.findings if finding.severity is Severity.ERROR] == []
    wires = loaded.harness.wires
    assert {id: (wires[id].from_, wires[id].to) for id in ("donor/263", "host/41", "I1-86", "I1-F-1", "I1-30")} == {
        "donor/263": ("donor/E1.2", "I1-K.85"), "host/41": ("I1-K.87", "host/M0.1"), "I1-86": ("host/SP9", "I1-K.86"), "I1-F-1": ("host/G1.+", "I1-F.1"), "I1-30": ("I1-F.2", "I1-K.30")}
    assert loaded.harness.parts["I1-K"].box == "host/B1" and loaded.harness.boxes["host/B1"].lid == (("host/F2", "I1-K"),)
    assert loaded.harness.parts["I1-F"].place == "host/battery"
    assert "feed-without-fuse" not in {finding.code for finding in loaded.findings}


def test_charge_lamp_and_alternator_of_two_vehicles():
    loaded = merged(PLACES + "joins:\n  J2: {ends: [host/X7.2, donor/A1.L], through: I2}\n"
                    'interfaces:\n  I2: {recipe: charge lamp excitation, lamp: host/X7.2, alternator: donor/A1.L, feed: host/SP9, resistor: "47 ohm, 5 W", place: bulkhead}\n')
    assert [finding.message for finding in loaded.findings if finding.severity is Severity.ERROR] == []
    island = loaded.network.island_of
    assert island["host/X7.2"] == island["I2-R.2"] == island["I2-D.A"] != island["I2-D.K"] == island["donor/A1.L"]
    assert island["I2-R.1"] == island["host/SP9"]


def test_a_value_that_cannot_be_read_is_told_at_its_interface():
    loaded = load("merge.yaml", {
        "merge.yaml": "sources:\n  host: {file: host.yaml, role: host}\n  donor: {file: donor.yaml, role: donor}\n"
                      "interfaces:\n  I3: {recipe: series resistor, from: host/X1.1, to: donor/E1.1, resistor: 47 ohms}\n",
        "host.yaml": "title: host\nconnectors:\n  X1: {face: [[1]], view: mating face}\n", "donor.yaml": "title: donor\nconnectors:\n  E1: {face: [[1]], view: mating face}\n"})
    [told] = [finding for finding in loaded.findings if "I3-R" in finding.message and "47 ohms" in finding.message]
    assert told.place.file == "merge.yaml" and told.place.line == 5 and "47 ohm" in told.do
