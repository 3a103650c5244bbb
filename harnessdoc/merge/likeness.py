"""How well a circuit of the host and one of the donor go together: by what is wired, and by the words.

Takes the Traits or the words of two candidates; gives a Fit (what the table of signal kinds says of the two on one
copper, how far direction, key positions, current and voltage agree) and how alike the words are. The weights are
choices made here, set on generated pairs other than those of the tests.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from ..trade.pairing import Pairing, asked, kinds_of, pairing
from ..trade.signals import signals
from .candidates import Candidate, Need, Said, Traits
from .wordings import alike, understood

WORDS = 3.0
"""What the same function in words of both counts; all else is measured by this."""
_DIRECT, _WITH_PART, _UNSAID, _BESIDE, _CONVERTER = 0.9, 0.6, 0.35, -0.4, -0.7
"""Direct; with a part between; giver and taker of which the table says nothing; two givers or two takers; not by wiring."""
_SAME_LIVE, _OTHER_LIVE = 0.7, -0.7
_TELLING, _CURVE = 0.6, 0.8
_STANDS_IN, _OTHER_LOST = 0.6, -0.3
"""What leaves is of the kind that comes in its place; it is of another."""
_OVERLOAD, _CARRIED = -0.3, 0.1
_OPEN_BOTH, _TAPPED, _DONOR_WHOLE = 0.3, -0.15, -0.8
"""Both want a partner; the host's works without; the donor's does."""
_SIZE = 0.15
_RAIL_AS_SIGNAL = -0.6
"""A rail at an input that a switch is to close: it would be closed for good."""
_FUSED = 0.1
CHARGE_LAMP_W = (1.8, 3.2)
"""A charge lamp: 2 to 3 W, as rated (trade sources; ``signal_pairs.csv``)."""
_SAME = 0.1
"""Curves and pulses are the same within this share."""
_RANK = {"never": 4, "leave whole": 3, "converter": 2, "with a part": 1, "direct": 0}
_GROUNDS, _BUSES = frozenset(kinds_of("grounds")), frozenset(kinds_of("buses"))
_SOURCES = frozenset((*kinds_of("sources"), "feed-start"))
_LOADS = frozenset((*kinds_of("loads"), *kinds_of("loads grounded by their case")))
_LOW = frozenset(kinds_of("low-side drivers"))
_FEEDS = frozenset(kinds_of("feeds"))
_RESISTANCES = frozenset((*kinds_of("resistances"), *kinds_of("resistance readers")))
_READERS = frozenset((*kinds_of("resistance readers"), "tachometer", "input-speed-pulses", "input-analog", "input-pwm", "input-hall", "input-oxygen", "input-knock"))
"""Pins that read one kind of signal; another kind with which the table does not pair them is not to be had by wiring."""
_NOT_TELLING = frozenset(("lamp", "relay-coil", "motor", "heater", "solenoid", "switch-to-ground", "switch-to-supply", "switch-contact", "output-low", "output-high", "input-switch-to-ground",
                          "input-switch-to-supply", "input-analog", "input-resistive", "resistive-sender", "gauge", "output-analog", "output-pwm-low", "output-pwm-high", "relay-contact"))
"""Kinds that serve many functions: that two of them go together says little."""
MEANING_OF_KIND = {
    "tachometer": "engine speed", "output-tachometer": "engine speed", "speed-pulses": "road speed", "input-speed-pulses": "road speed", "charge-lamp": "charge lamp",
    "starter-control": "start", "output-start": "start", "input-start": "start", "feed-start": "start", "fuel-pump": "fuel pump", "output-fuel-pump": "fuel pump",
    "brake-switch": "brake switch", "output-fan": "radiator fan", "output-clutch": "air-conditioning clutch", "clutch-coil": "air-conditioning clutch", "interlock": "start interlock",
    "k-line": "diagnostic line", "can-high": "network high", "can-low": "network low", "output-glow": "glow plugs", "glow": "glow plugs", "stop-solenoid": "fuel cut-off",
    "output-stop": "fuel cut-off", "source-alternator": "alternator output", "alternator-sense": "alternator sense", "feed-accessory": "accessory feed", "horn": "horn",
    "feed-constant": "constant feed", "feed-switched": "ignition feed", "input-wake": "ignition feed", "ground-power": "power ground", "ground-signal": "signal ground",
    "immobiliser": "immobiliser", "crash-switch": "crash switch",
}
"""A signal kind that serves one function -> its meaning in the thesaurus."""
_BY_KIND = 0.75
_FEED_MEANINGS = frozenset(("supply", "constant feed", "ignition feed", "accessory feed", "main supply"))
_NO_SUPPLY = frozenset((*kinds_of("low-side drivers"), *kinds_of("open collectors"), *kinds_of("sensor pins"), *kinds_of("buses"), *kinds_of("resistance readers"), *kinds_of("resistances"), "input-switch-to-ground"))
_CONTRADICTED = 0.4
"""What words count that the kind of the pin contradicts: ``switched supply`` at an input that a switch closes to ground."""


@dataclass(frozen=True, slots=True)
class Fit:
    """What is wired at two candidates, set against each other.

    score:   how well it goes together, in units of WORDS
    row:     the row of the table that counts, the worst of all pins that would lie on one copper; None where it says nothing
    verdict: of that row, or as it follows from currents and readers; "" where nothing says
    needs:   what is needed, in words
    why:     what speaks for the two, and what against
    part:    what goes between, as the table of signal kinds names it; "" where nothing does, or currents ask for it
    goes:    whether the one gives what the other takes
    """

    score: float
    row: Pairing | None
    verdict: str
    needs: str
    why: tuple[str, ...]
    two_feeds: bool = False
    part: str = ""
    goes: bool = False


@lru_cache(maxsize=100_000)
def fit(host: Traits, donor: Traits) -> Fit:
    """The Fit of two circuits."""
    rows: list[Pairing] = []
    telling = together = False
    unread = ""
    for a in host.kinds:
        for b in donor.kinds:
            row = pairing(a, b, _holding(a, b, host, donor))
            if row is not None:
                rows.append(row)
            goes = _goes(a, b)
            together = together or goes
            telling = telling or (goes and row is not None and not (a in _NOT_TELLING and b in _NOT_TELLING))
            if row is None and a != b and (a in _READERS) != (b in _READERS) and gives(b if a in _READERS else a) and not {a, b} & _SOURCES:
                unread = f"{a} and {b}"
    worst = max(rows, key=lambda row: _RANK[row.verdict], default=None)
    two_feeds = _two_feeds(host, donor)
    verdict, needs, part = (worst.verdict, worst.needs, worst.part) if worst else ("", "", "")
    why: list[str] = []
    if two_feeds:
        verdict, needs = "never", "only one of the two feeds: the other is disconnected at its fuse"
    elif verdict in ("", "direct") and unread:
        verdict, needs = "converter", "the sender or sensor that the reader was made for, or a converter to what it reads"
    elif host.volts and donor.volts and abs(host.volts - donor.volts) > 0.2 * host.volts and not set(host.kinds) & _GROUNDS:
        verdict, needs = "converter", f"a voltage converter: {host.volts:g} V on the one side, {donor.volts:g} V on the other"
    elif verdict == "direct" and _two_loads(host, donor):
        both = set(host.kinds) & _LOW and set(donor.kinds) & _LOW
        verdict, part = "with a part", "relay G" if both else "diode"
        needs = ("a relay of its own for the load that both are to turn on, each output through its diode" if both else "a diode between the two loads, cathode to the output") \
            + ": each load has a feed of its own, and current would run from the one feed through both loads into the other"
    score = {"never": -9.0, "leave whole": _CONVERTER, "converter": _CONVERTER, "with a part": _WITH_PART, "direct": _DIRECT, "": _UNSAID}[verdict]
    if verdict in ("direct", "") and not together:
        score = _BESIDE if verdict == "direct" or host.kinds and donor.kinds else 0.0
    elif telling and verdict in ("direct", "with a part"):
        score += _TELLING
    if is_rail(host) and not set(donor.kinds) & (_FEEDS | _GROUNDS | _SOURCES | _LOADS | {"input-wake", "input-start", "starter-control", "starter-motor"}):
        score += _RAIL_AS_SIGNAL
    if host.fused and set(donor.kinds) & _FEEDS:
        score += _FUSED
    score += _lost_score(host, donor, why) + _curve_score(host, donor, why) + _live_score(host, donor, why) + _current_score(host, donor, why)
    over = _overload(host, donor)
    if over and verdict == "direct":
        verdict, needs, part = "with a part", f"a relay: {over}", ""
    if donor.need is Need.WHOLE:
        score += _DONOR_WHOLE
    elif host.need is Need.WHOLE:
        score += _TAPPED
    elif host.need is donor.need is Need.OPEN:
        score += _OPEN_BOTH
    if host.area_mm2 and donor.area_mm2:
        score += _SIZE * (1 - min(2.0, abs(math.log2(host.area_mm2 / donor.area_mm2))))
    if part == "pull-up" and None in (host.pulled, donor.pulled):
        why.append("no pull-up is stated on either side")
    return Fit(score, worst, verdict, needs, tuple(why), two_feeds, part if verdict == "with a part" else "", together)


def _holding(a: str, b: str, host: Traits, donor: Traits) -> set[str]:
    """The circumstances that hold for a kind of the host and one of the donor."""
    held = set()
    for where in asked(a, b):
        load = host if a in _LOADS else donor
        source = host if a in _SOURCES else donor
        match where:
            case "two vehicles":
                holds = not ({a, b} <= _RESISTANCES and _same_curve(host.curve, donor.curve))
            case "load to ground":
                holds = load.to_ground
            case "load to supply":
                holds = load.to_supply and not load.to_ground
            case "live in start":
                holds = {"run", "start"} <= source.live
            case "dead in start":
                holds = "run" in source.live and "start" not in source.live
            case "no pull-up":
                holds = True not in (host.pulled, donor.pulled)     # what pulled it up in its own vehicle is left behind
            case "pulses differ":
                holds = _pulses_differ(host.pulses, donor.pulses)
            case "curve differs":
                holds = host.curve is not None and donor.curve is not None and not _same_curve(host.curve, donor.curve)
            case "bus differs":
                holds = bool(host.bus and donor.bus and host.bus != donor.bus or host.bit_rate and donor.bit_rate and host.bit_rate != donor.bit_rate)
            case _:
                holds = False
        if holds:
            held.add(where)
    return held


def gives(kind: str) -> bool:
    """Whether a pin of this kind gives something to others, as seen from its device."""
    signal = signals()[kind]
    return kind in _SOURCES or kind in ("thermistor", "resistive-sender", "level-switch", "interlock", "crash-switch", "switch-contact", "charge-lamp", "relay-contact") or signal.direction == "out"


def _takes(kind: str) -> bool:
    return kind in _FEEDS or signals()[kind].direction == "in" or kind in ("interlock", "crash-switch", "switch-contact", "charge-lamp", "relay-contact")


def _goes(a: str, b: str) -> bool:
    """Whether the one gives what the other takes, or both are ground, or one bus."""
    if a in _GROUNDS or b in _GROUNDS:
        return a in _GROUNDS and b in _GROUNDS
    if a in _BUSES or b in _BUSES:
        return a == b
    if {a, b} <= frozenset(kinds_of("constant sources")):
        return True
    return gives(a) and _takes(b) or gives(b) and _takes(a)


def _two_feeds(host: Traits, donor: Traits) -> bool:
    """Whether each side brings a supply of its own, and not both the battery's."""
    sources = frozenset(kinds_of("sources"))
    a, b = set(host.kinds) & sources, set(donor.kinds) & sources
    constant = frozenset(kinds_of("constant sources"))
    return bool(a and b) and not (a <= constant and b <= constant)


def _two_loads(host: Traits, donor: Traits) -> bool:
    """Whether a load of the one vehicle would hang on an output to ground that has a load of its own vehicle, each with a feed of its own."""
    a, b = set(host.kinds), set(donor.kinds)
    return bool(a & _LOADS and b & _LOADS and (a | b) & _LOW) and not (host.to_ground or donor.to_ground)


def _same_curve(one, other) -> bool:
    if one is None or other is None or one.unit != other.unit:
        return False
    a, b = dict(one.points), dict(other.points)
    shared = sorted(set(a) & set(b))
    return len(shared) >= 2 and all(abs(a[at] - b[at]) <= _SAME * max(a[at], b[at]) for at in shared)


def _pulses_differ(one, other) -> bool:
    if one is None or other is None:
        return False
    if one.per == "turn" or other.per == "turn":
        return one.per != other.per or one.number != other.number
    km = {"km": 1.0, "mile": 1.609344}
    a, b = one.number / km[one.per], other.number / km[other.per]
    return abs(a - b) > 1e-3 * max(a, b)


def _lost_score(host: Traits, donor: Traits, why: list[str]) -> float:
    score = 0.0
    for one, other, words in ((host, donor, "comes in place of one that leaves"), (donor, host, "is of the kind that was left behind")):
        if one.lost and other.kinds:
            shared = sorted(set(one.lost) & set(other.kinds))
            if shared:
                why.append(f"{shared[0]} {words}")
            score += _STANDS_IN if shared else _OTHER_LOST
    return score


def _curve_score(host: Traits, donor: Traits, why: list[str]) -> float:
    if host.curve is None or donor.curve is None:
        return 0.0
    same = _same_curve(host.curve, donor.curve)
    if same:
        why.append("the same curve on both sides")
    return _CURVE if same else -_CURVE


def _live_score(host: Traits, donor: Traits, why: list[str]) -> float:
    supplies = _SOURCES | _FEEDS | {"input-wake", "input-start", "starter-control", "relay-coil", "switch-to-supply", "brake-switch", "input-switch-to-supply"}
    wanted = _wanted(donor)
    if not host.live or not wanted or not (set(host.kinds) & supplies and set(donor.kinds) & supplies):
        return 0.0
    if host.live == wanted:
        why.append("live in " + _positions(host.live) + " on both sides")
        return _SAME_LIVE
    return _OTHER_LIVE


def _wanted(traits: Traits) -> frozenset[str]:
    """The positions of the key in which a circuit was live, or wants to be by its kind; empty where neither is known."""
    if traits.live:
        return traits.live
    for kind, positions in (("feed-constant", "off accessory run start"), ("feed-switched", "run start"), ("input-wake", "run start"), ("feed-run", "run"),
                            ("feed-accessory", "accessory run"), ("feed-start", "start"), ("input-start", "start"), ("starter-control", "start")):
        if kind in traits.kinds:
            return frozenset(positions.split())
    return frozenset()


def _positions(live: frozenset[str]) -> str:
    return "every position" if len(live) == 4 else " and ".join(position for position in ("off", "accessory", "run", "start") if position in live)


def _current_score(host: Traits, donor: Traits, why: list[str]) -> float:
    for giver, taker in ((host, donor), (donor, host)):
        if giver.limit_a and taker.draws_a:
            if taker.draws_a > giver.limit_a:
                return _OVERLOAD
            why.append(f"takes {taker.draws_a:g} A of the {giver.limit_a:g} A that its driver carries")
            return _CARRIED
    lamp = host if "lamp" in host.kinds else donor if "lamp" in donor.kinds else None
    if lamp is not None and lamp.watts and ("charge-lamp" in host.kinds or "charge-lamp" in donor.kinds):
        return 2 * _CARRIED if CHARGE_LAMP_W[0] <= lamp.watts <= CHARGE_LAMP_W[1] else -_CARRIED
    return 0.0


def _overload(host: Traits, donor: Traits) -> str:
    """``the load takes 6 A, the output carries 1 A``; "" where it carries it, or one is not known."""
    for giver, taker in ((host, donor), (donor, host)):
        if giver.limit_a and taker.draws_a and taker.draws_a > giver.limit_a:
            return f"the load takes {taker.draws_a:g} A, the output carries {giver.limit_a:g} A"
    return ""


def is_ground(traits: Traits) -> bool:
    """Whether all pins of a circuit are ground."""
    return bool(traits.kinds) and set(traits.kinds) <= _GROUNDS


def is_rail(traits: Traits) -> bool:
    """Whether a circuit is ground, or gives a supply."""
    return is_ground(traits) or bool(set(traits.kinds) & frozenset(kinds_of("sources")))


def words_of(candidate: Candidate) -> tuple[Said, ...]:
    """All words of a candidate, with the functions that its signal kinds say; those that only say "supply" or "ground" left out where others say more."""
    of_kinds = tuple(Said(understood(meaning), _BY_KIND, f"signal {kind}") for kind in candidate.traits.kinds if (meaning := MEANING_OF_KIND.get(kind, "")))
    own = tuple(replace(one, weight=one.weight * _CONTRADICTED) if _is_contradicted(one, candidate.traits.kinds) else one for one in candidate.said)
    said = (*own, *of_kinds)
    telling = tuple(one for one in said if one.wording.functions and not set(one.wording.functions) <= {"supply", "ground"})
    return telling + tuple(one for one in own if one not in telling and not one.wording.functions) if telling else said


def _is_contradicted(said: Said, kinds: Sequence[str]) -> bool:
    """Whether words say "supply" at pins that neither give nor take one."""
    return bool(kinds) and bool(said.wording.functions) and set(said.wording.functions) <= _FEED_MEANINGS and set(kinds) <= _NO_SUPPLY


def same_words(host: Sequence[Said], donor: Sequence[Said]) -> tuple[float, str, Said | None, Said | None]:
    """How alike the words of two candidates are (-0.6 to 1), the meaning they share, and which words say so."""
    best: tuple[float, str, Said | None, Said | None] = (0.0, "", None, None)
    worst = 0.0
    for a in host:
        for b in donor:
            score, meaning = _alike(a.wording.text, b.wording.text)
            weighed = score * a.weight * b.weight
            if weighed > best[0]:
                best = (weighed, meaning, a, b)
            worst = min(worst, weighed)
    return best if best[0] > -worst else (worst, "", None, None)       # what disagrees more than anything agrees decides


@lru_cache(maxsize=100_000)
def _alike(one: str, other: str) -> tuple[float, str]:
    return alike(understood(one), understood(other))


