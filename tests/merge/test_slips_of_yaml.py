"""Slips of YAML in a merge: what is said, and that the lines to write instead can be read and mean what was meant."""

from __future__ import annotations

import re

import pytest
from merge.vehicles import HEAD, texts

from harnessdoc.findings import Finding, Severity
from harnessdoc.merge.plan import Fate
from harnessdoc.steps import Loaded, load

_LINE = re.compile(r"(?:write|quote it|put the list in brackets|in brackets): *([^\n]*)((?:\n.*)*)")

JOINED = {"joins": {"J1": ("host/X7.2", "donor/A1.L")}}
SLIPS = {
    "no brackets on one line": ("joins:\n  J1: {ends: host/X7.2, donor/A1.L}\n", JOINED),
    "no brackets, and more behind": ("joins:\n  J1: {ends: host/X7.2, donor/A1.L, method: crimp splice}\n", JOINED),
    "three ends without brackets": ("joins:\n  J1: {ends: host/X7.2, donor/A1.L, donor/E1.2}\n", {"joins": {"J1": ("host/X7.2", "donor/A1.L", "donor/E1.2")}}),
    "no brackets on lines": ("joins:\n  J1:\n    ends: host/X7.2, donor/A1.L\n    method: solder\n", JOINED),
    "no brackets, a comment behind": ("joins:\n  J1:\n    ends: host/X7.2, donor/A1.L   # charge lamp\n", JOINED),
    "quotes for brackets": ('joins:\n  J1: {ends: "host/X7.2, donor/A1.L", method: solder}\n', JOINED),
    "and": ("joins:\n  J1: {ends: host/X7.2 and donor/A1.L}\n", JOINED),
    "one end": ("joins:\n  J1: {ends: host/X7.2}\n", {"joins": {"J1": ("host/X7.2", "unknown")}}),
    "ends by vehicle": ("joins:\n  J1: {ends: {host: X7.2, donor: A1.L}}\n", JOINED),
    "no key before the ends": ("joins:\n  J1: [host/X7.2, donor/A1.L]\n", JOINED),
    "bracket missing at the end": ("joins:\n  J1: {ends: [host/X7.2, donor/A1.L}\n  J2: {ends: [host/SP9, donor/E1.1]}\n", {"joins": {**JOINED["joins"], "J2": ("host/SP9", "donor/E1.1")}}),
    "bracket missing before a key": ("joins:\n  J1: {ends: [host/X7.2, donor/A1.L, method: crimp splice}\n", JOINED),
    "both brackets missing": ("joins:\n  J1: {ends: [host/X7.2, donor/A1.L\n  J2: {ends: [host/SP9, donor/E1.1]}\n", {"joins": {**JOINED["joins"], "J2": ("host/SP9", "donor/E1.1")}}),
    "both brackets missing in the last line": ("joins:\n  J1: {ends: [host/X7.2, donor/A1.L", JOINED),
    "bracket missing on a line of its own": ("joins:\n  J1:\n    ends: [host/X7.2, donor/A1.L\n    method: solder\n", JOINED),
    "bracket missing in a fate": ("fates:\n  - {fate: removed, device: [host/M0, host/A0, why: gone}\n", {"fates": {"host/37": Fate.REMOVED, "host/41": Fate.REMOVED}}),
    "a star": ("fates:\n  - {fate: kept, pattern: *}\n", {"fates": {"host/1": Fate.KEPT, "donor/263": Fate.KEPT}}),
    "a star, and a reason": ("fates:\n  - {fate: kept, pattern: *, why: all stays}\n", {"fates": {"host/1": Fate.KEPT, "donor/263": Fate.KEPT}}),
    "a star on a line": ("fates:\n  - fate: kept\n    pattern: *\n", {"fates": {"host/1": Fate.KEPT}}),
    "a star and a slash": ("fates:\n  - {fate: kept, pattern: */26*}\n", {"fates": {"host/1": Fate.UNDECIDED, "donor/263": Fate.KEPT}}),
    "a star and digits": ("fates:\n  - {fate: kept, pattern: *263, why: x}\n", {"fates": {"host/1": Fate.UNDECIDED, "donor/263": Fate.KEPT}}),
    "a star in a list": ("fates:\n  - {fate: kept, pattern: [*3, host/1]}\n", {"fates": {"host/1": Fate.KEPT, "donor/263": Fate.KEPT}}),
    "joins with dashes": ("joins:\n  - J1: {ends: [host/X7.2, donor/A1.L]}\n  - J2: {ends: [host/SP9, donor/E1.1]}\n", {"joins": {**JOINED["joins"], "J2": ("host/SP9", "donor/E1.1")}}),
    "joins with dashes over lines": ("joins:\n  - J1:\n      ends: [host/X7.2, donor/A1.L]\n      note: 'say: so'\n", JOINED),
    "joins with dashes at the margin": ("joins:\n- J1: {ends: [host/X7.2, donor/A1.L]}\n", JOINED),
    "joins without numbers": ("joins:\n  - {ends: [host/X7.2, donor/A1.L]}\n", JOINED),
    "joins with their numbers inside": ("joins:\n  - {number: J7, ends: [host/X7.2, donor/A1.L]}\n", {"joins": {"J7": ("host/X7.2", "donor/A1.L")}}),
    "dashes below a join": ("joins:\n  J1:\n    - ends: [host/X7.2, donor/A1.L]\n    - method: solder\n", JOINED),
    "stubs in square brackets": ("joins:\n  J1: {ends: [host/X7.2, donor/A1.L], stubs: [donor/A1.L: 650 mm]}\n", JOINED),
    "method in brackets": ("joins:\n  J1: {ends: [host/X7.2, donor/A1.L], method: [solder]}\n", JOINED),
    "interfaces with dashes": ("interfaces:\n  - I1: {recipe: diode, anode: donor/E1.2, cathode: host/X7.2}\n", {"interfaces": ["I1"]}),
    "places with dashes": ("segments:\n  M1: {from: bench, to: glove box, length: 600 mm}\nplaces:\n  - donor/E1: bench\n", {}),
    "fates as a map": ("fates:\n  host/37: removed\n  donor/260: kept\n", {"fates": {"host/37": Fate.REMOVED, "donor/260": Fate.KEPT}}),
    "fates as maps in a map": ("fates:\n  host/37: {fate: removed, why: gone}\n", {"fates": {"host/37": Fate.REMOVED}}),
    "fates as one map": ("fates:\n  fate: removed\n  wire: host/37\n", {"fates": {"host/37": Fate.REMOVED}}),
    "fates by word": ("fates:\n  kept: host/*\n  removed: [host/37, host/41]\n", {"fates": {"host/1": Fate.KEPT, "host/37": Fate.REMOVED}}),
    "a fate behind a name": ("fates:\n  - host/37: removed\n", {"fates": {"host/37": Fate.REMOVED}}),
    "a name behind a fate": ("fates:\n  - removed: host/A0\n", {"fates": {"host/37": Fate.REMOVED}}),
    "a fate without a colon": ("fates:\n  - host/37 removed\n", {"fates": {"host/37": Fate.REMOVED}}),
    "two wires without brackets": ("fates:\n  - {fate: removed, wire: host/37, host/41}\n", {"fates": {"host/37": Fate.REMOVED, "host/41": Fate.REMOVED}}),
    "two devices without brackets on a line": ("fates:\n  - fate: removed\n    device: host/M0, host/A0\n    why: gone\n", {"fates": {"host/37": Fate.REMOVED, "host/41": Fate.REMOVED}}),
    "open with dashes": ("open:\n  - donor/E1.3: not used\n", {"open": ["donor/E1.3"]}),
    "open without reasons": ("open: [donor/E1.3, donor/E1.4]\n", {"open": ["donor/E1.3", "donor/E1.4"]}),
}
SLIPS_OF_SOURCES = {
    "with dashes": "sources:\n  - host: {file: host.yaml, role: host}\n  - donor: {file: donor.yaml, role: donor}\n",
    "without names": "sources:\n  - {file: host.yaml, role: host}\n  - {file: donor.yaml, role: donor}\n",
    "files alone": "sources:\n  host: host.yaml\n  donor: donor.yaml\n",
    "files in brackets": "sources: [host.yaml, donor.yaml]\n",
    "files in a row": "sources: host.yaml, donor.yaml\n",
}


def errors(loaded: Loaded) -> list[Finding]:
    return [finding for finding in loaded.findings if finding.severity is Severity.ERROR]


def followed(text: str, finding: Finding) -> str:
    """The text with the lines that the way out of the finding says to write, in place of those of the value and its key."""
    match = _LINE.search(finding.do)
    assert match, f"no line to write in: {finding.do}"
    lines = text.split("\n")
    number = finding.place.line - 1
    if not match[1]:                        # lines of a whole section, which stand as they are printed
        while lines[number][:1] in (" ", "-", "#", ""):
            number -= 1
        stop = next((after for after in range(number + 1, len(lines)) if lines[after][:1] not in (" ", "-", "#", "")), len(lines))
        return "\n".join([*lines[:number], *match[2][1:].split("\n"), *lines[stop:]])
    key = match[1].removeprefix("- ").partition(":")[0]
    while not re.match(rf"\s*(- )?{re.escape(key)}:", lines[number]) and not match[1].startswith("- "):
        number -= 1                         # the value begins below its key
    spaces = re.match(" *", lines[number])[0]
    stop = number + 1
    while number < finding.place.line - 1 and stop < len(lines) and lines[stop].startswith(f"{spaces} "):
        stop += 1
    return "\n".join([*lines[:number], spaces + match[1], *lines[stop:]])


def mended(text: str) -> Loaded:
    """The merge once the way out of its first error has been followed, until none is left."""
    for _ in range(4):
        loaded = load("merge.yaml", texts(text), solve=False)
        if not (found := errors(loaded)):
            return loaded
        text = followed(text, found[0])
    raise AssertionError(f"still wrong: {found[0].message}; {found[0].do}\n{text}")


@pytest.mark.parametrize("name", SLIPS)
def test_what_is_said_to_be_written_means_what_was_meant(name):
    text, meant = SLIPS[name]
    assert errors(load("merge.yaml", texts(HEAD + text), solve=False)), "the slip passes in silence"
    merge = mended(HEAD + text).merge
    assert {join: tuple(end.address for end in merge.joins[join].ends) for join in meant.get("joins", {})} == meant.get("joins", {})
    assert {wire: merge.decisions[wire].fate for wire in meant.get("fates", {})} == meant.get("fates", {})
    assert [*merge.interfaces] == meant.get("interfaces", [])
    assert [*merge.open] == meant.get("open", [])


@pytest.mark.parametrize("name", SLIPS)
def test_one_error_is_said_of_one_slip(name):
    assert len(errors(load("merge.yaml", texts(HEAD + SLIPS[name][0]), solve=False))) == 1


@pytest.mark.parametrize("name", SLIPS_OF_SOURCES)
def test_sources_written_in_another_way(name):
    found = errors(load("merge.yaml", texts("title: merged\n" + SLIPS_OF_SOURCES[name])))
    assert {finding.code for finding in found} == {"wrong-kind"}
    loaded = mended("title: merged\n" + SLIPS_OF_SOURCES[name])
    assert {source.name: source.file for source in loaded.merge.sources.values()} == {"host": "host.yaml", "donor": "donor.yaml"}


def test_what_yaml_made_of_it_is_said():
    (finding,) = errors(load("merge.yaml", texts(HEAD + SLIPS["joins with dashes"][0])))
    assert finding.message == "`joins` is a list, where a map is wanted"
    assert finding.do == ("YAML takes a line that begins with `- ` for an item of a list; write:\njoins:\n"
                          "  J1: {ends: [host/X7.2, donor/A1.L]}\n  J2: {ends: [host/SP9, donor/E1.1]}")
    (finding,) = errors(load("merge.yaml", texts(HEAD + SLIPS["no brackets on lines"][0])))
    assert finding.do == "without brackets YAML takes it for one text; write: ends: [host/X7.2, donor/A1.L]"


def test_of_a_long_section_the_first_lines_are_printed():
    joins = "".join(f"  - J{number}: {{ends: [host/X7.2, donor/A1.L]}}\n" for number in range(1, 31))
    (finding,) = errors(load("merge.yaml", texts(f"{HEAD}joins:\n{joins}")))
    assert finding.do.endswith("  J8: {ends: [host/X7.2, donor/A1.L]}\n  ... and so on, 22 more")


def test_a_list_of_what_nobody_can_tell_has_the_plain_words():
    (finding,) = errors(load("merge.yaml", texts(HEAD + "joins: [[a], {b: c}]\n")))
    assert finding.do == "write `key: value` lines, or {key: value}"
