"""Interfaces: recipes with their roles filled, expanded to parts, splices and wires.

Takes: the entries of ``interfaces:``. Gives: what each adds (into the edits), and at which contact
each end that it names is to end.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial

from ..description.text import Items, Record
from ..model.ids import names, nearest, printable
from ..model.values import Values
from .edits import Edits
from .plan import Interface, Merge, Source
from .records import record_of, sifted, with_number, with_value

OWN_KEYS = ("recipe", "position", "place", "note")
"""Keys of an interface that are no roles."""


@dataclass(slots=True)
class Expanded:
    """interfaces: by id, without their joins; ends: interface -> end as written -> the contact at which it ends; used: position of a box that is taken -> what is put there, "relay" or "fuse"."""

    interfaces: dict[str, Interface] = field(default_factory=dict)
    ends: dict[str, dict[str, str]] = field(default_factory=dict)
    used: dict[str, str] = field(default_factory=dict)

    @property
    def held(self) -> Iterator[str]:
        """Every address that a role names: it stays in the copper."""
        for interface in self.interfaces.values():
            yield from interface.given.values()


def expand_interfaces(values: Values, written: Record, sources: Mapping[str, Source], places: Mapping[str, str], edits: Edits) -> Expanded:
    """Every interface whose recipe can be followed.

    places: interface -> the point it is put on. A position whose fuse or relay leaves is as good as a spare one;
    whether it leaves is known later, and asked then.
    """
    expanded = Expanded()
    if not written:
        return expanded
    from .recipes import RECIPES, meant

    for id, entry in written.items():
        if not isinstance(entry, Record) or not isinstance(entry.get("recipe"), str):
            continue
        recipe = RECIPES.get(entry["recipe"])
        if recipe is None:
            near = " or ".join(f"`{name}`" for name in meant(entry["recipe"]))
            values.error("no-such-recipe", f"interface {id} follows the recipe '{printable(entry['recipe'])}', which is not there", entry.place_of("recipe"),
                         f"{f'did you mean {near}? ' if near else ''}`harnessdoc recipe` lists them")
            continue
        _expand(values, id, entry, recipe, sources, places.get(id, ""), edits, expanded)
    return expanded


def _expand(values: Values, id: str, entry: Record, recipe, sources: Mapping[str, Source], put_on: str, edits: Edits, expanded: Expanded) -> None:
    from .recipes import expand, misfits, missing, unknown

    given = {key: entry[key] for key in entry if key not in OWN_KEYS and isinstance(entry[key], str)}
    good = True
    for key in unknown(recipe, given):
        near = nearest(key, [role.name for role in recipe.roles])
        values.error("recipe-role-unknown", f"interface {id} has `{key}`, which is no role of `{recipe.name}`", entry.place_of_key(key),
                     f"{f'did you mean `{near}`? ' if near else ''}its roles are {names((role.name for role in recipe.roles), 20)}")
        good = False
    for role in missing(recipe, given):
        values.error("recipe-role-missing", f"interface {id} has no `{role.name}`: {role.what}", entry.place(),
                     f"write `{role.name}: ...`; `harnessdoc recipe \"{recipe.name}\"` shows the wiring, pin by pin")
        good = False
    for misfit in misfits(recipe, given):
        values.error("recipe-role-misfit", f"`{misfit.role}` of interface {id} {misfit.words}", entry.place_of(misfit.role), misfit.do)
        good = False
    if not good:
        return
    position = values.word(entry, "position") or ""
    box = _box_of(position, sources) if position else ""
    expansion = expand(id, recipe, given, box=box)
    kind, seated = next(((kind, thing) for kind in ("relay", "fuse") for thing in expansion.sections.get(f"{kind}s", {})), ("", ""))
    if position and not _can_take(values, id, entry, position, box, kind, recipe.name, sources, expanded):
        return
    place = values.word(entry, "place") or put_on
    things: list[str] = []
    for section, added in expansion.sections.items():
        for thing, plain in added.items():
            record = record_of(plain, entry.source, entry.mark)
            if section != "wires" and place and "place" not in record and "box" not in record and section != "cavities":
                record = with_value(record, "place", place)
            edits.add(section, thing, record)
            things.append(thing)
    for wire, role in expansion.leads.items():
        edits.change("splices", given.get(role, ""), partial(with_number, wire))
    if box:
        edits.change("boxes", box, partial(_seated, position, seated))
        expanded.used[position] = kind
    ends = {given[role]: address for role, address in expansion.lands.items() if role in given}
    expanded.ends[id] = ends
    expanded.interfaces[id] = Interface(id, recipe.name, given, tuple(dict.fromkeys(things)), tuple(expansion.sections.get("wires", ())), dict(expansion.lands), expansion.notes, (), place or box, values.text(entry, "note"), entry)


def _box_of(position: str, sources: Mapping[str, Source]) -> str:
    """The box of a position that is spare or holds a part; "" where it is none."""
    every = {source.id(part.id) for source in sources.values() for part in source.harness.parts.values()}
    return next((box for box, positions in spare_positions(sources, every).items() if position in positions), "")


def _can_take(values: Values, id: str, entry: Record, position: str, box: str, kind: str, recipe: str, sources: Mapping[str, Source], expanded: Expanded) -> bool:
    """Whether the part of a kind may sit in a position; else a finding says why not, and which ones are left for it."""
    place = entry.place_of("position")
    if not kind:
        values.error("position-not-spare", f"interface {id} takes position {printable(position)}, but `{recipe}` has no relay or fuse to put there", place, "write `place:` instead")
        return False
    left = fitting(sources, (one for spare in spare_positions(sources).values() for one in spare if one not in expanded.used), kind)
    listed = f"spare for a {kind} {'is' if len(left) == 1 else 'are'} {names(left, 12)}" if left else f"no position for a {kind} is spare: write `place:` instead"
    if box and position not in expanded.used:
        holds = kind_of_position(sources, position)
        if holds in ("", kind):
            return True
        values.error("position-does-not-fit", f"interface {id} puts a {kind} into position {printable(position)}, which is for a {holds}", place, listed)
        return False
    near = nearest(position, left)
    why = "which another interface has taken" if position in expanded.used else "which is no spare position of a box"
    values.error("position-not-spare", f"interface {id} takes position {printable(position)}, {why}", place, f"{f'did you mean {near}? ' if near else ''}{listed}")
    return False


_LETTERS = {"F": "fuse", "K": "relay"}
"""Letters with which the names of parts begin (IEC 81346-2, from memory)."""


def kind_of_position(sources: Mapping[str, Source], position: str) -> str:
    """What a position is for: by the part that sits there as found, else by the letter of its name; "" where neither says it."""
    name, _, own = position.partition("/")
    part = sources[name].harness.parts.get(own) if name in sources else None
    return part.kind if part is not None else _LETTERS.get(own[:1], "")


def fitting(sources: Mapping[str, Source], positions: Iterable[str], kind: str) -> tuple[str, ...]:
    """Those of the positions that a part of a kind fits, and those of which it is not known what they are for."""
    return tuple(position for position in positions if kind_of_position(sources, position) in ("", kind))


def spare_positions(sources: Mapping[str, Source], gone: Collection[str] = ()) -> dict[str, tuple[str, ...]]:
    """Box -> its spare positions, and those whose fuse or relay is among ``gone``; by ids of the merge."""
    spare: dict[str, tuple[str, ...]] = {}
    for source in sources.values():
        for box in source.harness.boxes.values():
            freed = (source.id(part.id) for part in source.harness.parts.values() if part.box == box.id and source.id(part.id) in gone)
            spare[source.id(box.id)] = (*map(source.id, box.spare), *freed)
    return spare


def free_positions(merge: Merge) -> tuple[str, ...]:
    """The positions of boxes that are spare, or become so, and that no interface of the merge takes."""
    taken = {str(interface.source.get("position")) for interface in merge.interfaces.values()}
    spare = spare_positions(merge.sources, merge.gone)
    return tuple(position for box, positions in spare.items() if box not in merge.gone for position in positions if position not in taken)


def relay_positions(merge: Merge, source: Source) -> tuple[str, ...]:
    """The free ones of a source that are for a relay."""
    return tuple(position for position in free_positions(merge) if position.startswith(f"{source.name}/") and kind_of_position(merge.sources, position) == "relay")


def _seated(position: str, part: str, box: Record) -> Record:
    """A box with a part in what was a spare position."""
    spare, lid = box.get("spare"), box.get("lid")
    if isinstance(spare, Items):
        box = with_value(box, "spare", sifted(spare, lambda name: None if name == position else name))
    if isinstance(lid, Items):
        box = with_value(box, "lid", sifted(lid, lambda row: sifted(row, lambda name: part if name == position else name) if isinstance(row, Items) else row))
    return box
