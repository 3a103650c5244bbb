"""What every code means: the pages that ``harnessdoc why CODE`` prints.

Takes: a code. Gives: its severity, meaning, reason and way out. The page of a rule is
its module's docstring; the codes of reading, of the schema check, of the builder and
of geometry stand in the tables below, in the order in which a run may emit them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import ModuleType

from ..findings import Severity
from .page import page_of, sections_of
from .registry import RULES, UNKNOWN_OPTION, UNUSED


@dataclass(frozen=True, slots=True)
class Code:
    """One code: how bad it is, what it means, why it matters, what to do."""

    severity: Severity
    meaning: str
    why: str
    do: str


_LOST = "The line could not be read and was left out; what it says is missing from everything that follows."
_GUESS = "What was read is not what was meant, and nobody would notice until a wire is wrong."
_ADDRESS = "A wire that leads to a contact that does not exist is missing from that contact's sheet and from every list of its copper."
_HURTS = "A wrong value here ends as a wrong wire, fuse or length, so nothing is guessed."

_ERRORS: dict[str, tuple[str, str, str]] = {
    # files
    "file-missing": ("A file is not there, is a folder, or may not be read.", "What it holds is missing from the harness.", "Check name, folder and permissions."),
    "file-empty": ("A file holds no entries.", "There is nothing to check or to draw.", "Begin with `title:`, `connectors:` and `wires:`; `harnessdoc new FILE` writes an example."),
    "file-binary": ("A file is no text.", "Only text can be read, compared and kept under version control.", "Name the text file."),
    "file-encoding": ("A file is not written in UTF-8.", "Letters outside plain English would print as others.", "Save it as UTF-8; editors offer it under \"save as\"."),
    "file-too-large": ("A file is larger than 5 MB, or all together than 20 MB.", "A description of 20,000 wires has 5 MB; more is likely another kind of file.",
                       "Divide it with `include:`, or put wires into CSV tables."),
    "too-many-files": ("A description names more than 200 files.", "This is nearly always a slip in `include:`.", "Put several into one."),
    "include-cycle": ("Files include each other in a circle.", "It would never end.", "Take one of the includes out."),
    "include-outside": ("A file outside the folder of the main file is named.", "A description must be whole when its folder is copied.", "Put the file into the folder, or below it."),
    "reserved-name": ("A file name does not work on every computer.", "The folder could not be copied to a workshop's machine.", "Give the file another name."),
    "named-twice": ("A file names another one twice.", "Its entries would count once, whatever was meant.", "Name it once."),
    # notation
    "not-a-map": ("The file does not begin with `key: value`.", "Without keys nothing says what a line is.", "Begin with `title: ...`."),
    "second-document": ("`---` begins a second document.", "One file is one description; what follows would be passed over.", "Take the line out, or make a file of the rest and `include:` it."),
    "control-character": ("A character that cannot be seen stands in the text.", "It would make two ids that look alike differ.", "Delete it."),
    "tab-indentation": ("A tab stands in the indentation.", _LOST, "Indent with spaces."),
    "bad-indentation": ("A line stands deeper or less deep than its neighbours.", _LOST, "Indent the entries of one map alike."),
    "unclosed-quote": ("A quote opens and does not close on its line.", _LOST, "Close it, or leave both quotes out."),
    "unclosed-bracket": ("A bracket opens and does not close, or closes as another kind.", _LOST, "Close it where the message shows."),
    "stray-bracket": ("A bracket closes that was never opened.", _LOST, "Take it out, or open it."),
    "bad-escape": ("A backslash stands in double quotes.", _LOST, "Use single quotes: there a backslash is a backslash."),
    "text-after-value": ("Text goes on behind a value that is closed.", _LOST, "Put a comma between, or quote all of it."),
    "missing-colon": ("A line is neither a key nor a value.", _LOST, "Write `key: value`."),
    "missing-comma": ("Two entries of a one-line map have no comma between them.", _LOST, "Put the comma."),
    "no-space-after-colon": ("A colon has no space behind it.", _LOST, "Write `from: E1.1`, not `from:E1.1`."),
    "colon-in-value": ("A value has a second colon.", _LOST, "Quote the value."),
    "comma-in-value": ("A comma in a one-line map cuts a value short.", _GUESS, "Quote the value; write a decimal point where it is a decimal comma."),
    "hash-in-value": ("A `#` behind a space begins a comment and cuts a value short.", _GUESS, "Quote the value, or put a space behind the `#` of a comment."),
    "question-mark": ("A value begins with `?`, which means something else in YAML.", _LOST, "Write `unknown`, or quote the value."),
    "sign-at-start": ("A value begins with a sign that means something else in YAML.", _LOST, "Quote the value."),
    "unknown-alias": ("`*name` repeats a value that was never named with `&name`.", _LOST, "Quote it if it is plain text."),
    "tag-refused": ("A `!tag` stands before a value.", "A description has words, lists and maps, nothing that runs.", "Take it out, or quote the value."),
    "empty-key": ("A key is missing before a colon.", _LOST, "Write `key: value`."),
    "complex-key": ("A map or a list stands where a key belongs.", _LOST, "A key is a word."),
    "empty-value": ("A key has nothing behind its colon.", "Left out and forgotten look the same.", "Write the value, or `unknown`, or take the key out."),
    "duplicate-key": ("A key or an id stands twice.", "Only one of the two would count.", "Keep one, or give one another name."),
    "too-deep": ("Maps and lists stand too deep in each other.", "No description needs it; it is a slip or an attack.", "Take some of the brackets out."),
    "too-many-aliases": ("Repeats (`*name`) add too many values.", "A few lines would fill the memory.", "Write the values out."),
    "unreadable": ("The text cannot be read from a place on.", _LOST, "Mend what stands above, then the line itself."),
    # tables
    "table-heading": ("The headings of a CSV table cannot be used.", "Headings are the keys of every row.", "The first heading is `wire`, `cavity` or `segment`, each other one a key, each once."),
    "missing-id": ("A row of a table has no id.", "Its cells belong to nothing.", "Fill the first cell."),
    "too-many-cells": ("A row has more cells than the table has headings.", "A cell too many shifts all that follow.", "Quote a cell that holds the separator."),
    # kinds of value
    "unknown-key": ("A key is not one of those that may stand there.", "What it says would be passed over in silence.", "Write it as the message suggests; docs/language.md lists all keys."),
    "key-missing": ("A key that is demanded is not there.", "The entry means nothing without it.", "Write it."),
    "wire-end-missing": ("A wire has no `from` or no `to`.", "A forgotten end and an end not found yet are two things.", "Write the address, or `unknown`, or `open` where it is left unconnected on purpose."),
    "view-missing": ("A face has no `view`.", "Seen from the other side left and right change places, and every pin with them.", "Write `view: mating face` or `view: wire side`."),
    "wrong-kind": ("A value is a text, a list or a map where another kind is wanted.", "It cannot be read.", "Write it as in the example of the message."),
    "wrong-count": ("A list is too short or too long.", "It cannot be read.", "Write as many items as are wanted."),
    "wrong-form": ("A value has not the form wanted.", "It cannot be read.", "Write it as the message says."),
    "not-a-choice": ("A value is none of the words that may stand there.", "It would print, and mean nothing.", "Take one of the words of the message."),
    "unknown-signal": ("A kind of signal is not in the list.", "Cautions and pairings hang on it.", "Take one of the words of the message; leave it out if none fits."),
    "bad-quantity": ("A value with a unit cannot be read.", _HURTS, "Write number and unit: `0.75 mm2`, `18 AWG`, `420 mm`, `15 A`."),
    "unknown-colour": ("A colour code is not in the convention of the file.", "The same letters mean other colours in other books.", "Name the right convention in `colours:`, or the colour in this one; `unknown` until you see the wire."),
    "colour-twice": ("A wire has `colour:` and `color:`.", "They are one key; only one can count.", "Keep one."),
    "unknown-wire-type": ("An insulation is not known.", _HURTS, "Write material and temperature (`PVC 85 C`) or a letter group (`TXL`)."),
    # ids and addresses
    "bad-id": ("An id, or a part of an address, cannot be used.", "Ids stand in addresses, on labels and in file names.", "Use letters, digits and marks such as - _ + #, at most 60."),
    "duplicate-id": ("An id is given twice, in two files or to two kinds of thing.", "An address would lead to both.", "Give one of the two another id."),
    "ids-differ-by-case": ("Two ids differ only in case.", "At the bench they are one name, and on some computers one file.", "Give one of the two another id."),
    "two-readings": ("An address may be read in two ways.", "A wire would end at one of two contacts, nobody knows which.", "The last dot divides connector and cavity: give one of the two another id."),
    "no-such-address": ("An address leads to nothing.", _ADDRESS, "Mend it, declare what it names, or write `unknown`."),
    "no-such-cavity": ("A connector, device or part has no such cavity or terminal.", _ADDRESS, "Mend the address, or the face."),
    "no-such-connector": ("There is no such connector, device or part.", _ADDRESS, "Mend the name, or declare it."),
    "no-such-box": ("There is no such box.", "The part would stand on no sheet.", "Mend the name, or declare it under `boxes:`."),
    "no-such-position": ("The lid of a box names what is not in it.", "The lid is looked at when a fuse has blown.", "Mend the name, declare it, or list it under `spare:`."),
    "no-such-cable": ("A wire is said to be a core of a cable that is not among those declared.", "It would be listed and cut as a cable of its own.", "Mend the name, or declare the cable."),
    "no-such-pair": ("A wire is said to be twisted in a pair that is not among those declared.", "Its partner lies elsewhere and its take-up is unknown.", "Mend the name, or declare the pair."),
    "no-such-segment": ("A wire goes `via` a segment or place that does not exist.", "Its length cannot be computed.", "Mend the name."),
    "bad-range": ("A range of cavities cannot be read.", "The face would lack cavities.", "Write `1..13` or `A1..A6`."),
    "face-empty": ("A face has no cavities.", "Its sheet would be empty.", "Write its rows, or take `face:` and `view:` out until it is known."),
    "cavity-twice-on-face": ("A face names a cavity twice.", "One place on the drawing would be wrong.", "Name each once; write `gap` for an empty place."),
    "terminal-twice": ("A device names a terminal twice.", "One of the two is another terminal.", "Name it once."),
    "connector-of-two-devices": ("A connector belongs to two devices, or is named twice by one.", "It is plugged into one of them.", "Name it once."),
    "bad-position": ("The position of a splice cannot be read.", "The splice could not be found again.", "Write `at: 120 mm from P3 toward P4`."),
    "two-positions": ("A splice has `place:` and `at:`.", "It sits at one of the two.", "Keep one."),
    "wire-to-itself": ("A wire begins and ends at one contact.", "It joins nothing; one of its ends was copied.", "Write the other end, or `unknown`."),
    "wire-without-ends": ("Neither end of a wire is known.", "It can be found on no sheet.", "Write the end in your hand, or take the wire out."),
    "supply-over-60-v": ("The supply is above 60 V.", "This program is for low-voltage direct current; above it a touch can kill.",
                         "Leave high-voltage systems to licensed practice and the vehicle's own book."),
}

_SOLVE = "The circuit is solved with what is said here; a slip would move every reading."

_ELECTRIC: dict[str, tuple[str, str, str]] = {
    "two-loads": ("A device says two things of one pair of addresses.", "One of them stands elsewhere.", "Write each under `loads:` with a `between:` of its own."),
    "load-without-between": ("A supply or load has no two addresses.", "It is joined to nothing, so that nothing flows through it.", "Write `between:` with its two addresses."),
    "load-short-circuited": ("A supply or load has both ends at one address.", "Nothing flows through it; of a supply it is a short circuit.", "Write its two ends."),
    "load-without-kind": ("A load does not say what it is.", "Without a value it cannot be solved.", "Write `lamp:`, `motor:`, `load:` or another."),
    "no-such-load": ("A load is closed by something that is no solenoid of its device.", "It would be joined always or never.", "Mend the name, or write the solenoid."),
    "not-its-terminal": ("A terminal is named that belongs to another device.", _SOLVE, "Name one of its own terminals."),
    "no-such-part": ("There is no such ready-made part.", "Its values would be those of another one.", "Mend the name, or state the values."),
    "two-key-switches": ("Two devices close positions of the key.", "The states follow the key, and there is one.", "Give the positions of the other one names of their own."),
    "state-name-taken": ("A state has the name of one that is visited anyway.", "Its readings would stand where others are looked for.", "Give it another name."),
    "no-such-switch": ("There is no such switch.", _SOLVE, "Mend the name, or write what it `closes:`."),
    "no-such-switch-position": ("A switch has no such position.", _SOLVE, "Mend the name, or write the position under `closes:`."),
    "not-an-output": ("What is to be commanded is no output.", _SOLVE, "Name an output, or say its signal under `cavities:`."),
}

_GEOMETRY: dict[str, tuple[Severity, str, str, str]] = {
    "loop-without-length": (Severity.ERROR, "A segment that is part of a loop has no length.", "The shortest way through the loop cannot be known, nor the length of any wire in it.",
                            "Measure it and write its length."),
    "no-route": (Severity.MALFUNCTION, "No segments join the two ends of a wire, or the two points between which a splice sits.", "The length cannot be computed.",
                 "Add the segments that are missing, or mend a place."),
    "place-off-the-bundle": (Severity.MALFUNCTION, "A place is no end of any segment.", "Nothing leads there, so no wire to it has a length.",
                             "Mend the name, or add the segment that ends there."),
    "splice-beyond-the-way": (Severity.MALFUNCTION, "A splice sits farther from a point than the way in that direction is long.", "The splice could not be found again.",
                              "Measure anew, or name a point farther on."),
    "twisted-beyond-the-way": (Severity.MALFUNCTION, "A pair is twisted over more than the way of its wires.", "Its take-up, and so the length to cut, would be wrong.",
                               "Write the length that is twisted, or leave `twisted` out."),
    "bundle-over-grommet": (Severity.MALFUNCTION, "A bundle is thicker than the bore of its grommet.", "It will not go through, or will be pressed and chafe.",
                            "Take a larger grommet, or move wires or a splice to another segment."),
    "section-beyond-segment": (Severity.ADVICE, "A station at which a bundle is to be drawn cut across lies farther out than its segment is long.", "It cannot be drawn.",
                               "Measure anew, or put it on the next segment."),
    "segment-length-unknown": (Severity.ADVICE, "A segment that wires pass has no length.", "The length of these wires is unknown.", "Measure it and write its length."),
    "take-up-unknown": (Severity.ADVICE, "What twisting takes up of a pair's wires cannot be computed.", "They may be cut too short.",
                        "Write what is missing, or measure the wires and write `length:`."),
}

_ORDER: dict[str, tuple[Severity, str, str, str]] = {
    "not-an-order-file": (Severity.ERROR, "What stands where the order file of a description does is none.", "It would be passed over in silence, or written over.",
                          "Give it another name, or write `order-of:` with the name of the description."),
    "order-file-empty": (Severity.ADVICE, "The order file has no entries.", "It keeps nothing: a change moves what it moves without it.", "Delete it, or write it: `harnessdoc keep-order FILE`."),
    "order-of-another": (Severity.ADVICE, "The order file says that it is of another description.", "What was arranged for one is taken over for another, as far as the names are the same.",
                         "Write the right name behind `order-of:`, delete the file, or write it anew: `harnessdoc keep-order FILE`."),
    "order-of-nothing": (Severity.ADVICE, "The order file names what is no more in the harness.", "It does no harm; a misspelt name stands where the program puts it.",
                         "Write the file anew: `harnessdoc keep-order FILE`."),
    "order-names-twice": (Severity.ADVICE, "The order file names a thing twice on one page.", "It can stand at one place.", "Take one of the two out."),
}

_JOINED = "The two vehicles would be joined where they are not, or not where they are."
_MERGE: dict[str, tuple[Severity, str, str, str]] = {
    "merge-without-sources": (Severity.ERROR, "What only a merge says stands in a description without `sources:`.", "There is nothing that could be joined.", "Name the descriptions that are merged under `sources:`."),
    "source-missing": (Severity.ERROR, "The description of a source cannot be read.", "Without it nothing of that vehicle is there.", "Write its path from the folder of the merge file."),
    "source-twice": (Severity.ERROR, "Two sources are one file.", _JOINED, "Name the description of the other vehicle."),
    "source-is-a-merge": (Severity.ERROR, "A source is a merge itself.", "A source is what was found on a vehicle.", "Name the descriptions as found."),
    "sources-missing": (Severity.ERROR, "A merge lacks a host or a donor.", "A merge is of two vehicles.", "Name one of each role."),
    "no-such-source": (Severity.ERROR, "An address begins with a name that no source has.", _JOINED, "Mend the name."),
    "no-such-point": (Severity.ERROR, "Something is put on a point that is not there.", "Its wires would have no way.", "Mend the name, or add the segment that ends there."),
    "no-such-thing": (Severity.ERROR, "`places` puts something on a point that is not in any source.", "What was meant stays where it was.", "Mend the name."),
    "fate-without-wires": (Severity.ERROR, "A line of `fates` does not say which wires, or says it in two ways.", "It would decide nothing, or too much.", "Name them by wire, connector, device, circuit or pattern."),
    "fate-of-nothing": (Severity.ERROR, "A line of `fates` names what is not there.", "What was meant stays undecided.", "Mend the name; it begins with that of its source."),
    "open-of-nothing": (Severity.ERROR, "`open` names what is not there.", "What was meant is not known to be left open.", "Mend the name; it begins with that of its source."),
    "no-such-wire": (Severity.ERROR, "A join names a wire that does not end where it is said to.", "Another one than meant would be cut.", "Mend the name."),
    "join-end-gone": (Severity.ERROR, "An end of a join is not there, or leaves.", "The join would tie a wire to nothing.", "Name another end, let it stay, or write `unknown`."),
    "join-end-unclear": (Severity.ERROR, "Several wires end where a join ends.", "Another one than meant would be cut.", "Say which under `wires:` of the join."),
    "join-end-is-wire": (Severity.ERROR, "A join names a wire where an end is wanted.", "Its other end may be meant.", "Name the end that stays: `donor/A1.L`."),
    "join-without-ends": (Severity.ERROR, "A join has fewer than two ends, or none that is known.", _JOINED, "Write both ends; `unknown` for one that is not found yet."),
    "join-to-itself": (Severity.ERROR, "A join names an end twice.", _JOINED, "Name the end of the other vehicle."),
    "join-within-one-source": (Severity.ERROR, "All ends of a join are of one vehicle.", _JOINED, "Name an end of the other vehicle; within one, write a wire or a splice."),
    "end-joined-twice": (Severity.ERROR, "Two joins take the same end of a wire.", "It can be cut once.", "Add the third end to the first join."),
    "join-on-removed-wire": (Severity.ERROR, "A join ends on a wire that a line of `fates` removes by name.", "The wire cannot be both.", "Take one of the two out."),
    "tap-into-what-leaves": (Severity.MALFUNCTION, "A join taps a wire that leads on to what leaves.", "Its rest would hang loose, and may be live.", "Leave `cut` out."),
    "no-such-end": (Severity.ERROR, "A join says something of an end that it does not have.", "What is said would count nowhere.", "Name one of its ends."),
    "join-without-wire": (Severity.ERROR, "A join ties contacts that have no wire, and has no piece.", "There is nothing to join.", "Say what goes in between: `piece:`."),
    "piece-between-two": (Severity.ERROR, "A join with a piece has more than two ends.", "A piece lies between two.", "Make a second join."),
    "no-such-interface": (Severity.ERROR, "A join goes through an interface that is not there.", _JOINED, "Write it under `interfaces:`, or mend the name."),
    "end-not-in-interface": (Severity.ERROR, "A join brings an end to an interface that does not name it.", _JOINED, "Name the end at one of the roles of the interface."),
    "no-such-recipe": (Severity.ERROR, "An interface follows a recipe that is not there.", "Nothing would be built.", "Mend the name; `harnessdoc recipe` lists them."),
    "recipe-role-unknown": (Severity.ERROR, "An interface has a key that is no role of its recipe.", "What is said would count nowhere.", "Mend the name."),
    "recipe-role-missing": (Severity.ERROR, "An interface lacks a role of its recipe.", "A terminal would stay empty.", "Write it."),
    "recipe-role-misfit": (Severity.ERROR, "A role of an interface is written as it cannot be, or beside one that excludes it.", "Its part would be wired otherwise than meant.", "Write it as the message shows."),
    "position-not-spare": (Severity.ERROR, "An interface takes a position of a box that is not spare.", "Two parts would sit in one place.", "Take a spare position, or put the relay elsewhere."),
    "position-does-not-fit": (Severity.ERROR, "An interface puts a relay into a position for a fuse, or a fuse into one for a relay.", "It does not go in.", "Take a position for such a part, or put it elsewhere."),
    "restated-nothing": (Severity.ERROR, "A merge says what is to be of a thing that no source has, or that leaves.", "What was meant stays as found.", "Mend the name, or take it out."),
    "restated-otherwise": (Severity.ERROR, "A merge says of a source's thing what only the source may say.", "A source stays the record of what was found.", "Change its part; or remove it, and write one of your own."),
    "cap-without-end": (Severity.ERROR, "A wire is capped, and all that it ends at stays.", "It is not known where it is cut.", "Write `at:`."),
    "kept-end-gone": (Severity.MALFUNCTION, "A wire is kept, and what it ends at leaves.", "It ends in the air, and may be live.", "Cap it, join it, or remove it."),
    "joined-without-join": (Severity.MALFUNCTION, "A wire is said to be joined, and no join names it.", "Nobody knows to what.", "Write the join."),
    "interface-not-joined": (Severity.MALFUNCTION, "No join leads an end to an interface that names it.", "The interface is wired by half, and does nothing.", "Write the join, with `through:`."),
    "join-leads-nowhere": (Severity.MALFUNCTION, "A join keeps the end of a wire at which nothing is left.", "What was to be joined is cut off.", "Name the end on the side that lives."),
    "feed-cut-off": (Severity.MALFUNCTION, "What a battery fed as found stays, and no battery feeds it any more.", "A box without its feed is dead, and all behind it; an alternator without its battery charges nothing.", "Join it to the battery that stays, or say under `open:` why it is left without."),
    "device-leaves-untold": (Severity.ADVICE, "A device leaves with the last of its wires, and no line says so.", "It may have been meant to stay.", "Say what becomes of it, or join another end."),
    "key-switch-undecided": (Severity.ADVICE, "Both vehicles bring a key switch, and no line says which one leaves.", "The states turn both together, which nobody does.", "Remove one of the two."),
    "stub-too-short": (Severity.MALFUNCTION, "What is left of a cut wire does not reach its join.", "A wire pulled tight breaks its terminal or its splice.", "Put a piece in between, or the join nearer."),
    "stub-longer-than-wire": (Severity.MALFUNCTION, "What is said to be left of a cut wire is longer than the wire was.", "The stub that is counted on is not there.", "Measure it again."),
    "kept-wire-too-short": (Severity.MALFUNCTION, "A kept wire does not reach along its new way.", "A wire pulled tight breaks its terminal.", "Extend it, or put what it ends at nearer."),
    "fate-undecided": (Severity.ADVICE, "No line decides on some wires.", "What nobody decided hangs loose in the vehicle.", "Write a line under `fates:`, or join them."),
    "cavity-left-open": (Severity.ADVICE, "Cavities of a device that stays have lost their wire.", "Nobody can tell whether it was meant or forgotten.", "Join them, or say under `open:` why they are empty."),
}

_OF_RULES: dict[str, tuple[Severity, str, str, str]] = {
    UNUSED: (Severity.ADVICE, "A waiver matches no finding.", "Either the fault is mended, or the thing has another name and the waiver no longer covers it.",
             "Take the waiver out, or name the thing as the finding does."),
    UNKNOWN_OPTION: (Severity.ERROR, "`rules:` names a code or an option that does not exist.", "The limit that was meant would not hold.", "Write it as the rule's page has it."),
}


def _code_of(rule: ModuleType) -> Code:
    said = sections_of(rule)
    return Code(rule.SEVERITY, said["title"], " ".join(said["Why it matters"].split()), " ".join(said["The fix"].split()))


CODES: Mapping[str, Code] = {
    **{name: Code(Severity.ERROR, *words) for name, words in (_ERRORS | _ELECTRIC).items()},
    **{name: Code(*entry) for name, entry in _GEOMETRY.items()},
    **{name: Code(*entry) for name, entry in (_ORDER | _MERGE | _OF_RULES).items()},
    **{rule.CODE: _code_of(rule) for rule in RULES},
}
"""Every code that a run may emit."""


def page(code: str) -> str:
    """The page of a code, for the terminal. Raises KeyError for a code that does not exist."""
    entry = CODES[code]
    rule = next((rule for rule in RULES if rule.CODE == code), None)
    if rule is not None:
        return page_of(rule)
    text = f"{entry.meaning}\n\nWhy it matters: {entry.why}\n\nWhat to do: {entry.do}"
    return f"{code} ({entry.severity.word})\n\n{text}"


HEADINGS = {
    "record": "From the lists as written", "copper": "From what is joined to what", "route": "From where things lie",
    "solved": "From the states solved", "sweep": "From the states with each ground and fuse opened in turn",
}
"""What rules look at, of ASKED, as a heading."""


def list_of_codes() -> str:
    """Every code with its title: those of the rules by what they look at, then those of reading and building."""
    lines: list[str] = []
    for asks, heading in HEADINGS.items():
        lines += [f"{heading}:", *(f"  {rule.CODE:<32} {rule.SEVERITY.word:<12} {sections_of(rule)['title']}" for rule in RULES if rule.ASKS == asks), ""]
    of_rules = {rule.CODE for rule in RULES}
    lines.append("While a file is read, and the harness built and measured:")
    lines += [f"  {code:<32} {entry.severity.word:<12} {entry.meaning}" for code, entry in CODES.items() if code not in of_rules]
    return "\n".join(lines)
