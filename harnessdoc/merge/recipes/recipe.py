"""What a recipe is: its roles, and how they make parts and wires.

Takes: what an interface gives, role by role, as written. Gives: which roles lack, which are none, which cannot
stand so; the Expansion is made by the recipe's own file with a ``kit.Kit``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from .kit import Kit

Kind = Literal["end", "feed", "ground", "value", "part"]


@dataclass(frozen=True, slots=True)
class Role:
    """A key of an interface that follows a recipe.

    name:    ``command``, ``coil-feed``
    kind:    end: the address of an end that a join brings; feed, ground: an address from which the recipe leads a wire; value: text; part: the name of a part
    needed:  whether it is to be written; with along only where one of those is given, with without only where none of those is
    what:    what it is, in words
    default: what holds where it is left out, "" where nothing does
    words:   the texts it may be, any where empty
    against: roles beside which it cannot stand
    """

    name: str
    kind: Kind
    needed: bool
    what: str
    default: str = ""
    words: tuple[str, ...] = ()
    along: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    against: tuple[str, ...] = ()

    @property
    def is_address(self) -> bool:
        return self.kind in ("end", "feed", "ground")

    def is_needed(self, given: Mapping[str, str]) -> bool:
        return self.needed and (not self.along or any(name in given for name in self.along)) and not any(name in given for name in self.without)


@dataclass(frozen=True, slots=True)
class Recipe:
    """Parts and wires between two circuits that do not fit.

    name:     as ``recipe:`` says it; title: what its relay or part is called
    when:     between what it stands, in words
    roles:    those that are needed first
    cautions: what is to be minded, a sentence each
    origin:   where its wiring comes from, in words fit for a sheet
    example:  role -> text, an interface that can be followed
    put:      puts its parts, wires and landing points into a kit
    """

    name: str
    title: str
    when: str
    roles: tuple[Role, ...]
    cautions: tuple[str, ...]
    origin: str
    example: Mapping[str, str] = field(repr=False)
    put: Callable[[Kit], None] = field(repr=False)

    def role(self, name: str) -> Role:
        """Raises KeyError where the recipe has no such role."""
        found = next((role for role in self.roles if role.name == name), None)
        if found is None:
            raise KeyError(name)
        return found


@dataclass(frozen=True, slots=True)
class Expansion:
    """What a recipe adds.

    sections: section -> id -> entry, plain values as a description has them
    lands:    role -> the contact at which the wire of that end is to end
    leads:    wire -> the feed or ground at whose address it begins or ends
    notes:    what is to be said of this one, besides the cautions of the recipe
    """

    sections: Mapping[str, Mapping[str, Mapping[str, str]]]
    lands: Mapping[str, str]
    leads: Mapping[str, str]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Misfit:
    """A role that cannot stand as it is written: the fault in words that follow its name, and the way out."""

    role: str
    words: str
    do: str


def missing(recipe: Recipe, given: Mapping[str, str]) -> tuple[Role, ...]:
    """The roles that are to be written and are not, in the order of the recipe."""
    return tuple(role for role in recipe.roles if role.name not in given and role.is_needed(given))


def unknown(recipe: Recipe, given: Mapping[str, str]) -> tuple[str, ...]:
    """What is given and is no role of the recipe, in the order in which it is given."""
    known = {role.name for role in recipe.roles}
    return tuple(name for name in given if name not in known)


def misfits(recipe: Recipe, given: Mapping[str, str]) -> tuple[Misfit, ...]:
    """Roles that exclude each other, texts that a role cannot be, one address at two ends."""
    return tuple(_misfits(recipe, given))


def _misfits(recipe: Recipe, given: Mapping[str, str]) -> Iterator[Misfit]:
    before: list[Role] = []
    for role in recipe.roles:
        if role.name not in given:
            continue
        written = given[role.name]
        beside = next((other.name for other in before if other.name in role.against), "")
        twice = next((other.name for other in before if role.kind == other.kind == "end" and given[other.name] == written), "")
        if beside:
            yield Misfit(role.name, f"stands beside `{beside}`, where one of the two belongs", f"keep `{beside}: {given[beside]}` or `{role.name}: {written}`, and take the other out")
        if role.words and written not in role.words:
            yield Misfit(role.name, f"is '{written}'", f"write one of: {', '.join(role.words)}")
        if twice:
            yield Misfit(role.name, f"names {written}, and so does `{twice}`", "name two ends: what comes into the interface and what leaves it are two wires")
        before.append(role)
