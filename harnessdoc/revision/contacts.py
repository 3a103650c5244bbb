"""What is said of cavities and terminals: which of it went along with a wire to another one.

Two things are told apart: what is fitted at an address (terminal, seal, plug) stays
with the address; what the address is for (function, signal, limit...) may move with the
wire.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from operator import attrgetter

from ..description.text import Record
from ..model.harness import Contact, Harness, Kind
from .changes import Thing
from .keys import KEYS, Key
from .names import Names
from .pairing import Pairing

_FITTED = ("terminal", "seal", "plug")
FITTED_KEYS: tuple[Key, ...] = tuple(key for key in KEYS[Thing.CONTACT] if key.name in _FITTED)
"""What is fitted at an address."""
_USE_KEYS: tuple[Key, ...] = tuple(key for key in KEYS[Thing.CONTACT] if key.name not in _FITTED)
_USED = {"function": "", "signal": "", "circuit": "", "double": False, "limit": None, "draws": None, "inside": None, "bus": "", "bit_rate": None, "pulses": None,
         "curve": None, "clamp": None, "monitored": False, "note": "", "evidence": ""}
"""Field -> its value where nothing is said, of all that says what a contact is for."""
_used = attrgetter(*_USED)
_BLANK_USED = tuple(_USED.values())
_BLANK_FIT = ("", "", "")


@dataclass(frozen=True, slots=True)
class ContactPairs:
    """Of the contacts of which something is said.

    moved: old address -> new address, where the use of one went with its wire to the other; arrived: the way back
    """

    old: Mapping[str, Contact]
    new: Mapping[str, Contact]
    moved: Mapping[str, str]
    arrived: Mapping[str, str]


def pair_contacts(old: Harness, new: Harness, pairing: Pairing, names: Names, end_moves: Iterable[tuple[str, str]]) -> ContactPairs:
    """names: of the old version; end_moves: (old address, new address) of every wire's end that went elsewhere."""
    said_old, said_new = _said(old), _said(new)
    moved: dict[str, str] = {}
    arrived: dict[str, str] = {}
    for a, b in end_moves:
        one, other = said_old.get(a), said_new.get(b)
        if one is None or other is None or a in moved or b in arrived or not (one.function or one.signal):
            continue
        use = _use_of(one, names)
        stayed = said_new.get(names.address(a))
        there = said_old.get(pairing.address_before(b) or "")
        if use == _use_of(other, None) and (stayed is None or _use_of(stayed, None) != use) and (there is None or _use_of(there, names) != use):
            moved[a], arrived[b] = b, a
    return ContactPairs(said_old, said_new, moved, arrived)


def _use_of(contact: Contact, names: Names | None) -> tuple[object, ...]:
    """What a contact is for, in the new version's names (``names``: of the old version, None for the new)."""
    return tuple(key.get(contact) if names is None or key.refers is None else key.refers(names, key.get(contact)) for key in _USE_KEYS)


def is_blank_use(contact: Contact) -> bool:
    """Nothing is said of what it is for."""
    return not any(_use_of(contact, None))


def blank(like: Contact, source: Record) -> Contact:
    """The same contact with nothing said of it; source: where it would stand."""
    return replace(like, terminal="", seal="", plug="", fits=_BLANK_FIT, source=source, **_USED)


def contact_at(harness: Harness, address: str) -> Contact | None:
    """The contact at an address, None where there is none; of a ground what is fitted there is said of the ground itself."""
    contact = harness.contacts.get(address)
    if contact is not None and contact.kind is Kind.GROUND and contact.fits[0] == harness.grounds[address].terminal:
        return replace(contact, fits=("", *contact.fits[1:]))
    return contact


def _said(harness: Harness) -> dict[str, Contact]:
    return {address: contact for address in harness.contacts if (contact := contact_at(harness, address)) is not None
            if contact.fits != _BLANK_FIT or (_used(contact) != _BLANK_USED and not is_blank_use(contact))}
