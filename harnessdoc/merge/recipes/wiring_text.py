"""The wiring of a recipe as text, terminal by terminal, before it is taken.

Takes a recipe and what is given. Gives lines of at most 72 columns. They are read from the expansion itself: what
stands here is what is put in.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from .kit import Kit
from .recipe import Expansion, Recipe, missing

COLUMNS = 72
_ORDER = ("86", "85", "30", "87", "87a", "A", "K", "1", "2")
_INTO = ("86", "30", "A", "1")
"""Terminals that are fed; from the others it leads on."""
_SHOWN = ("relays", "diodes", "resistors")
"""The first of these that a recipe has is shown by its terminals; other parts are passed through."""
_ONE = {"fuses": "fuse", "diodes": "diode", "resistors": "resistor"}
_THROUGH = {"fuses": ("1", "2"), "diodes": ("A", "K"), "resistors": ("1", "2")}
_NOT_GIVEN = "..."


def wiring_text(recipe: Recipe, given: Mapping[str, str] | None = None, *, interface: str = "I1") -> str:
    """The wiring with what is given; ``...`` stands for a role that is needed and not given.

    given: None shows the recipe by its example, with its roles.
    """
    full = dict(recipe.example if given is None else given)
    while lacking := missing(recipe, full):
        full |= {role.name: _NOT_GIVEN for role in lacking[:1]}
    kit = Kit(interface, recipe, full, "")
    recipe.put(kit)
    expansion = kit.expansion()
    lines = [recipe.name, *_wrapped(f"between {recipe.when}", 2, 2), ""]
    for part in _shown(expansion):
        lines += [*_wrapped(f"{part}: {_words(expansion, part)}", 2, 4), *_terminals(recipe, full, expansion, part), ""]
    for splice in _apart(expansion):
        lines += [*_wrapped(f"{splice}: splice, {expansion.sections['splices'][splice]['title']}", 2, 4),
                  *(line for role, through in _reached(expansion, splice) for line in _line("", "--", role, full, expansion, through)), ""]
    for caution in (*recipe.cautions, *expansion.notes):
        lines += _wrapped(f"- {caution}", 2, 4)
    lines += _wrapped(f"origin: {recipe.origin}", 2, 4)
    if given is None:
        lines += ["", *_roles(recipe)]
    return "\n".join(lines) + "\n"


def _roles(recipe: Recipe) -> Iterator[str]:
    """Every role with what it is, and an interface to begin with."""
    for title, needed in (("to be written", True), ("may be written", False)):
        roles = [role for role in recipe.roles if role.needed is needed]
        yield from (title,) if roles else ()
        for role in roles:
            only = f" (with {' or '.join(role.along)})" if role.along else ""
            usual = f"; else {role.default}" if role.default else ""
            yield from _wrapped(f"{role.name}: {role.what}{only}{usual}", 2, 4)
    yield "for example"
    pairs = ", ".join(f"{name}: " + (f'"{text}"' if "," in text else text) for name, text in recipe.example.items())
    yield from _wrapped(f"I1: {{recipe: {recipe.name}, {pairs}}}", 2, 4)


def _shown(expansion: Expansion) -> tuple[str, ...]:
    return next(tuple(expansion.sections[section]) for section in _SHOWN if section in expansion.sections)


def _words(expansion: Expansion, part: str) -> str:
    """What a part is: ``relay, mini relay 40 A, resistor across its coil``."""
    section, entry = next((section, entries[part]) for section, entries in expansion.sections.items() if part in entries)
    if section == "relays":
        across = {"none": "nothing across its coil", "unknown": "what is across its coil is not known"}.get(entry["suppression"], f"{entry['suppression']} across its coil")
        return ", ".join(filter(None, (f"relay ({entry['contacts']})", entry["part"], f"coil {entry['coil']}" if "coil" in entry else "", across)))
    said = [entry[key] for key in ("value", "power", "part", "rating", "type") if key in entry and not (key == "type" and entry[key] == "blade")]
    return ", ".join((_ONE[section], *said))


def _terminals(recipe: Recipe, given: Mapping[str, str], expansion: Expansion, part: str) -> Iterator[str]:
    """A line for each terminal and each end that it reaches."""
    for terminal in _ORDER:
        label = terminal
        for role, through in _reached(expansion, f"{part}.{terminal}"):
            yield from _line(label, "<-" if terminal in _INTO and recipe.role(role).kind != "ground" else "->", role, given, expansion, through)
            label = ""


def _apart(expansion: Expansion) -> Iterator[str]:
    """The splices that tie ends to each other, and to no part that is shown."""
    seen = {role for part in _shown(expansion) for terminal in _ORDER for role, _ in _reached(expansion, f"{part}.{terminal}")}
    for splice in expansion.sections.get("splices", {}):
        if any(role not in seen for role, _ in _reached(expansion, splice)):
            yield splice


def _line(label: str, arrow: str, role: str, given: Mapping[str, str], expansion: Expansion, through: tuple[str, ...]) -> list[str]:
    by = f", through {' and '.join(_named(expansion, part) for part in through)}" if through else ""
    return _wrapped(f"{label:<4} {arrow} {role} {given.get(role, _NOT_GIVEN)}{by}", 4, 12)


def _named(expansion: Expansion, part: str) -> str:
    """``fuse I1-F 15 A``."""
    kind, _, rest = _words(expansion, part).partition(", ")
    return " ".join(filter(None, (kind, part, rest)))


def _reached(expansion: Expansion, start: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each role whose end or address a terminal reaches over wires, splices, and parts that are not shown; with those parts."""
    shown = _shown(expansion)
    own = {f"{part}.{end}": (f"{part}.{other}", part) for section, (a, b) in _THROUGH.items() for part in expansion.sections.get(section, {}) if part not in shown
           for end, other in ((a, b), (b, a))}
    splices = expansion.sections.get("splices", {})
    seen, todo = {start: None}, [(start, ())]
    while todo:
        here, through = todo.pop(0)
        for role, at in expansion.lands.items():
            if at == here:
                yield role, through
        for name, wire in expansion.sections.get("wires", {}).items():
            for one, other in ((wire["from"], wire["to"]), (wire["to"], wire["from"])):
                if one != here:
                    continue
                if other in splices or other in own:
                    if other not in seen:
                        seen[other] = None
                        todo.append((other, through))
                elif other.rpartition(".")[0] not in shown:
                    yield expansion.leads[name], through
        if here in own and own[here][0] not in seen:
            there, part = own[here]
            seen[there] = None
            todo.append((there, (*through, part)))


def _wrapped(text: str, first: int, rest: int) -> list[str]:
    """Lines of at most COLUMNS, the first one and the others set in by so many columns."""
    return textwrap.wrap(text, COLUMNS, initial_indent=" " * first, subsequent_indent=" " * rest, break_long_words=False, break_on_hyphens=False)
