"""What every pair of circuits is worth, and how sure the pairs of an assignment are.

Takes the Candidates of both sides; gives Pairs by (row, column), a bounded number for each circuit, and for those chosen
a likelihood. Only circuits that share a meaning or letters are compared by their words; what is wired is weighed once for each two Traits.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..trade.pairing import kinds_of
from .candidates import Candidate, Need, Said, Traits
from .likeness import WORDS, Fit, fit, is_rail, same_words, words_of
from .wordings import APART, broader_meaning, groups_of_letters

FLOOR, _MIDDLE, _STEEP = 0.8, 1.5, 1.6
"""Worth of a pair: below the floor it is none; at the middle it is as likely as not; how fast the likelihood rises from there."""
_NEAR = 0.25
"""Pairs whose worth differs by less fit equally well."""
_SURE_OF_PARTNER = 0.6
"""Somebody whose own partner is worth so much more is no rival."""
_BY_WORDS = 0.5
"""Where only words tell that two belong together, they are at least so alike."""
_MEANING_IN, _LETTERS_IN = 40_000, 5_000
"""A meaning, or a group of letters, that more pairs than this share finds nothing."""
_BODY_GROUNDS = frozenset(kinds_of("body grounds"))
_COMMON = 4
"""Words without a known function at so many circuits of one side tell none of them from the others."""
_NOT_SAID_AT_PIN, _NOT_ALIKE_IN_KIND = 0.75, 0.6
"""The most that a pair is sure of which only the words on its way say the function, not those at its pins; and of which neither gives what the other takes."""
_KEPT = 40
"""So many of the best pairs of a circuit go into the assignment."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two circuits: worth all in all; how alike their words are (-0.6 to 1), the meaning they share, and which words say so."""

    worth: float
    fit: Fit
    words: float
    meaning: str
    host_said: Said | None
    donor_said: Said | None


class Words:
    """The words of both sides, and which circuits share some."""

    def __init__(self, hosts: Sequence[Candidate], donors: Sequence[Candidate]) -> None:
        self._hosts, self._donors = _telling(hosts), _telling(donors)
        self.near = _sharing(self._hosts, self._donors)
        self._sure = _sure(self._hosts), _sure(self._donors)

    def alike(self, row: int, column: int) -> tuple[float, str, Said | None, Said | None]:
        """As ``same_words``; of circuits that share nothing, how surely their functions differ."""
        if column in self.near[row]:
            return same_words(self._hosts[row], self._donors[column])
        return APART * self._sure[0][row] * self._sure[1][column], "", None, None


def weighed(hosts: Sequence[Candidate], donors: Sequence[Candidate], words: Words) -> dict[tuple[int, int], Pair]:
    """The pairs that may go together, a bounded number for each circuit."""
    by_traits: dict[Traits, list[int]] = {}
    for number, one in enumerate(donors):
        by_traits.setdefault(one.traits, []).append(number)
    pairs: dict[tuple[int, int], Pair] = {}
    for row, one in enumerate(hosts):
        found: list[tuple[float, int, Pair]] = []
        for traits, numbers in by_traits.items():
            if one.traits.need is not Need.OPEN and traits.need is not Need.OPEN or traits.need is Need.WHOLE and is_rail(traits):
                continue            # nobody wants a partner
            wired = fit(one.traits, traits)
            best = wired.score + WORDS
            if wired.verdict == "never" or best < FLOOR:
                continue
            for column in numbers:
                if column not in words.near[row] and wired.score <= FLOOR:
                    continue        # what shares no word is worth no more than what is wired
                said, meaning, a, b = words.alike(row, column)
                if set(one.traits.kinds) <= _BODY_GROUNDS and set(traits.kinds) <= _BODY_GROUNDS:
                    said = max(0.0, said)       # ground is ground, whatever is earthed there
                if said < _BY_WORDS and (traits.need is Need.WHOLE or wired.verdict in ("converter", "leave whole")):
                    continue        # only words tell that the two belong together
                worth = wired.score + WORDS * said
                if worth > FLOOR:
                    found.append((-worth, column, Pair(worth, wired, said, meaning, a, b)))
        found.sort(key=lambda entry: entry[:2])
        for _, column, pair in found[:_KEPT]:
            pairs[row, column] = pair
    return pairs


def _telling(side: Sequence[Candidate]) -> list[tuple[Said, ...]]:
    """The words of each circuit, without those of no known function that stand at many: ``part 7``, ``connector 12``."""
    words = [words_of(one) for one in side]
    count: dict[str, int] = {}
    for all_said in words:
        for form in {_without_numbers(said) for said in all_said}:
            count[form] = count.get(form, 0) + 1
    return [tuple(said for said in all_said if said.wording.functions or count[_without_numbers(said)] < _COMMON) for all_said in words]


def _without_numbers(said: Said) -> str:
    return " ".join(word for word in said.wording.letters.split() if not word.isdigit())


def _sure(words: Sequence[Sequence[Said]]) -> list[float]:
    """For each circuit how sure it is what it does, by its words."""
    return [max((said.weight * said.wording.sure for said in all_said), default=0.0) for all_said in words]


def _sharing(hosts: Sequence[Sequence[Said]], donors: Sequence[Sequence[Said]]) -> list[set[int]]:
    """For each circuit of the host those of the donor that share a meaning with it, or letters."""
    keys_of = [[_keys(all_said) for all_said in side] for side in (hosts, donors)]
    posted: dict[str, list[int]] = {}
    for column, keys in enumerate(keys_of[1]):
        for key in keys:
            posted.setdefault(key, []).append(column)
    often: dict[str, int] = {}
    for keys in keys_of[0]:
        for key in keys:
            often[key] = often.get(key, 0) + 1
    return [set().union(*(posted[key] for key in sorted(keys) if key in posted and len(posted[key]) * often[key] <= (_MEANING_IN if key.startswith("= ") else _LETTERS_IN))) for keys in keys_of[0]]


def _keys(all_said: Sequence[Said]) -> set[str]:
    keys: set[str] = set()
    for said in all_said:
        for meaning in said.wording.functions:
            keys.add(f"= {meaning}")
            if broader := broader_meaning(meaning):
                keys.add(f"= {broader}")
        keys |= groups_of_letters(said.wording.letters)
    return keys


def confidences(chosen: Sequence[tuple[int, int]], pairs: Mapping[tuple[int, int], Pair], hosts: Sequence[Candidate], donors: Sequence[Candidate]) -> dict[tuple[int, int], float]:
    """How sure each pair of the assignment is: by its worth, and by how many others fit as well and have no better partner."""
    best_of_host: dict[int, float] = {}
    best_of_donor: dict[int, float] = {}
    for row, column in chosen:
        best_of_host[row] = max(best_of_host.get(row, 0.0), pairs[row, column].worth)
        best_of_donor[column] = pairs[row, column].worth
    of_host: dict[int, list[int]] = {}
    of_donor: dict[int, list[int]] = {}
    for row, column in pairs:
        of_host.setdefault(row, []).append(column)
        of_donor.setdefault(column, []).append(row)
    sure = {}
    for row, column in chosen:
        pair = pairs[row, column]
        same = {other for other in of_donor[column] if _is_same_place(hosts[row], hosts[other])}
        rivals = sum(other not in same and _is_rival(pair, pairs[other, column], best_of_host.get(other)) for other in of_donor[column] if other != row)
        if hosts[row].room == 1:            # a rail takes several
            rivals = max(rivals, sum(_is_rival(pair, pairs[row, other], best_of_donor.get(other)) for other in of_host[row] if other != column))
        sure[row, column] = min(1 / (1 + math.exp(-_STEEP * (pair.worth - _MIDDLE))) / (1 + rivals), _most(pair, hosts[row], donors[column]))
    return sure


def _most(pair: Pair, host: Candidate, donor: Candidate) -> float:
    """How sure a pair can be at most."""
    if not pair.fit.goes:
        return _NOT_ALIKE_IN_KIND
    only_on_the_way = any(said is not None and pair.meaning and _is_said_elsewhere(said, pair.meaning, one) for said, one in ((pair.host_said, host), (pair.donor_said, donor)))
    return _NOT_SAID_AT_PIN if only_on_the_way else 1.0


def _is_said_elsewhere(said: Said, meaning: str, one: Candidate) -> bool:
    """Whether the words of titles and circuits alone say a meaning, and those at the pins, or their kinds, say others."""
    if not said.where.startswith(("title ", "circuit ")):
        return False
    at_pins = [other.wording.functions for other in words_of(one) if not other.where.startswith(("title ", "circuit ")) and other.wording.functions]
    near = {meaning, broader_meaning(meaning)} - {""}
    return bool(at_pins) and not any(near & {function, broader_meaning(function)} for functions in at_pins for function in functions)


def _is_same_place(one: Candidate, other: Candidate) -> bool:
    """Whether it does not matter which of two circuits of the host is taken: rails live at the same time, the two ends of one contact."""
    if one.room > 1 and other.room > 1 and one.traits.live == other.traits.live:
        return True
    return one.contact.rpartition(".")[0] == other.contact.rpartition(".")[0] and one.traits == other.traits and "switch-contact" in one.traits.kinds


def _is_rival(pair: Pair, other: Pair, own: float | None) -> bool:
    """Whether ``other`` could be made in place of ``pair``; own: what the partner that its stranger has is worth, None where it has none."""
    if other.worth < pair.worth - _NEAR:
        return False
    return own is None or own < other.worth + _SURE_OF_PARTNER
