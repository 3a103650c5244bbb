"""What stands below a pinout's rows: empty cavities, what is fitted, and remarks.

Takes the contacts of a connector in their order; gives lines of text (of remarks with the
key of what each is about), and fields for a head.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..model.harness import Contact
from ..network.cavity_order import ranges
from ..revision.changes import Thing
from .context import Context
from .subject_head import Field
from .tables import Key
from .wire_lines import bars_at

RUNS_IN_PIECE = 4
NOT_USED = ("", "unknown", "not used", "spare", "empty")


def is_joined(context: Context, contact: Contact) -> bool:
    """True where a wire ends or a bar joins."""
    return bool(context.harness.wires_at.get(contact.address)) or any(bars_at(context.harness, contact.address))


def is_row(context: Context, contact: Contact) -> bool:
    """True for a cavity that has a row: one with a wire, or one that is said to serve something."""
    if is_joined(context, contact):
        return True
    return contact.signal != "spare" and bool(contact.signal or contact.function.lower() not in NOT_USED)


def empty_line(context: Context, contacts: Sequence[Contact]) -> Iterator[str]:
    """``empty: 5, 9..12`` with the plugs that fit them; nothing where every cavity has a row."""
    empty = [contact for contact in contacts if not is_row(context, contact)]
    if empty:
        yield f"empty: {ranges(contact.name for contact in empty)}{_plugs(empty)}"


def empty_uses(context: Context, contacts: Sequence[Contact]) -> Iterator[tuple[Key, str]]:
    """What empty cavities are for, where that is said."""
    by_function: dict[str, list[str]] = {}
    for contact in contacts:
        if not is_row(context, contact) and contact.function.lower() not in NOT_USED:
            by_function.setdefault(contact.function, []).append(contact.name)
    for function, names in by_function.items():
        yield ("use", function), f"{'cavity' if len(names) == 1 else 'cavities'} {ranges(names)}, empty: {function}"


def _plugs(empty: Sequence[Contact]) -> str:
    by_plug: dict[str, list[str]] = {}
    for contact in empty:
        if contact.plug:
            by_plug.setdefault(contact.plug, []).append(contact.name)
    if not by_plug:
        return ""
    whole = len(by_plug) == 1 and len(next(iter(by_plug.values()))) == len(empty)
    return "; " + ", ".join(f"fit {plug}" if whole else f"fit {plug} in {ranges(names)}" for plug, names in by_plug.items())


def fitting_fields(contacts: Sequence[Contact]) -> Iterator[Field]:
    """Terminals and seals with the cavities they are in, for a head: ``pin 1.5 in 2..24``."""
    for caption, field in (("Terminals", "terminal"), ("Seals", "seal")):
        by_part: dict[str, list[str]] = {}
        for contact in contacts:
            if part := getattr(contact, field):
                by_part.setdefault(part, []).append(contact.name)
        if by_part:
            yield caption, [text for part, names in by_part.items() for text in _in_pieces(part, ranges(names).split(", "))]


def _in_pieces(part: str, runs: Sequence[str]) -> Iterator[str]:
    """A part with its cavities, in so short pieces that a head cuts none."""
    for start in range(0, len(runs), RUNS_IN_PIECE):
        yield f"{part} in {', '.join(runs[start:start + RUNS_IN_PIECE])}"


def remarks(context: Context, contacts: Sequence[Contact]) -> Iterator[tuple[Key, str]]:
    """Double crimps, pairs and cables, then notes and evidence of cavities and of the wires in them."""
    harness = context.harness
    wires = [harness.wires[name] for contact in contacts for name in harness.wires_at.get(contact.address, ())]
    if double := [contact.name for contact in contacts if contact.double]:
        yield ("double",), f"double crimp in {ranges(double)}"
    for pair in dict.fromkeys(wire.pair for wire in wires if wire.pair):
        lay = harness.pairs[pair].lay_mm if pair in harness.pairs else None
        yield ("pair", pair), f"wires {_wires_of(wires, 'pair', pair)}: twisted pair {pair}" + (f", lay {context.mm(lay)}" if lay else "")
    for cable in dict.fromkeys(wire.cable for wire in wires if wire.cable):
        shield = harness.cables[cable].shield if cable in harness.cables else None
        yield ("cable", cable), f"wires {_wires_of(wires, 'cable', cable)}: cable {cable}" + (f", shield {shield}" if shield and shield != "none" else "")
    for contact in contacts:
        for name, text in (("note", contact.note), ("evidence", contact.evidence)):
            if text:
                yield (name, (Thing.CONTACT, contact.address)), f"cavity {contact.name}: {text}"
    for wire in dict.fromkeys(wires):
        for name, text in (("note", wire.note), ("evidence", wire.evidence)):
            if text:
                yield (name, (Thing.WIRE, wire.id)), f"wire {wire.id}: {text}"


def _wires_of(wires: Sequence, field: str, value: str) -> str:
    return ", ".join(dict.fromkeys(wire.id for wire in wires if getattr(wire, field) == value))
