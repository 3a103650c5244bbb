"""Pairs of harnesses whose true partners are known, written from a seed: for tests of the matcher.

Takes a seed; gives a Pair: the texts of a host and a donor, the true partners with how their words stand to the
thesaurus, and the circuits that no wiring brings together. Nothing but the words at the two pins says what a circuit does:
titles are numbers, and so are circuits. Half of the wordings are not in the thesaurus: misspelt, shortened, or of another
language; a fifth of the partners have no words at one end or at both. Both sides have circuits without a partner besides.

What is wired is common practice: which kind of pin stands at which end, what lamps and motors take.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from harnessdoc.trade.tables import rows

_PARTNERS = 24
KNOWN, UNKNOWN, NONE = "known", "unknown", "no text"


@dataclass(frozen=True)
class Partner:
    """Partners: own addresses in host and donor; words: KNOWN where both wordings are in the thesaurus, UNKNOWN where one is not, NONE where one has none."""

    function: str
    host: str
    donor: str
    words: str
    wordings: tuple[str, str]


@dataclass(frozen=True)
class Pair:
    """unwireable: partners that only a converter, or nothing, could bring together."""

    host: str
    donor: str
    partners: tuple[Partner, ...]
    unwireable: tuple[Partner, ...]


@dataclass
class _Side:
    """The sections of one description as they grow."""

    name: str
    sections: dict[str, list[str]] = field(default_factory=dict)
    pins: dict[str, list[str]] = field(default_factory=dict)
    count: int = 0

    def add(self, section: str, line: str) -> None:
        self.sections.setdefault(section, []).append(f"  {line}")

    def next(self) -> int:
        self.count += 1
        return self.count

    def pin(self, connector: str, signal: str, text: str = "", more: str = "") -> str:
        names = self.pins.setdefault(connector, [])
        names.append(str(len(names) + 1))
        address = f"{connector}.{names[-1]}"
        said = ", ".join(filter(None, (f'function: "{text}"' if text else "", f"signal: {signal}" if signal else "", more)))
        if said:
            self.add("cavities", f"{address}: {{{said}}}")
        return address

    def wire(self, one: str, other: str, size: str, evidence: str = "") -> None:
        number = self.next()
        self.add("wires", f"{number}: {{from: {one}, to: {other}, size: {size}, circuit: c{number}{evidence and f', evidence: {evidence}'}}}")

    def device(self, place: str, pins: Sequence[tuple[str, str, str]], more: Callable[[list[str]], str] = lambda pins: "") -> list[str]:
        """A device with a plug of its own; pins: (signal, words, more)."""
        number = self.next()
        connector = f"X{number}"
        addresses = [self.pin(connector, *pin) for pin in pins]
        self.add("devices", f"D{number}: {{title: part {number}, connectors: [{connector}]{more(addresses)}}}")
        self.add("connectors", f"{connector}: {{title: plug {number}, place: {place}, half: socket, face: [[{', '.join(self.pins[connector])}]], view: mating face}}")
        return addresses

    def text(self) -> str:
        order = ("devices", "segments", "boxes", "fuses", "grounds", "connectors", "cavities", "wires")
        head = [f"title: {self.name}", "colours: IEC 60757", "supply: 12 V"]
        return "\n".join([*head, *(line for section in order if section in self.sections for line in (f"{section}:", *self.sections[section]))]) + "\n"


# ------------------------------------------------------------------------------- functions

@dataclass(frozen=True)
class Function:
    """host, donor: write the circuit, given the side and the words, and give the address of the pin that stays; elsewhere: wordings of other languages."""

    meaning: str
    host: Callable[[_Side, str, random.Random], str]
    donor: Callable[[_Side, str, random.Random], str]
    elsewhere: tuple[str, ...]


def _leads_away(side: _Side, pin: str, size: str, chance: random.Random, old: str = "") -> None:
    """A wire from the pin that stays to the side that leaves: a part of the old engine, or not known where."""
    if old:
        other = side.device("engine", ((old, "", ""),))[0]
        side.wire(pin, other, size)
    else:
        side.wire(pin, "unknown", size, "cut at the bulkhead")


def _lamp(watts: float, old: str = "") -> Callable[[_Side, str, random.Random], str]:
    def write(side: _Side, text: str, chance: random.Random) -> str:
        pins = side.device("dash", (("lamp", "", ""), ("lamp", text, "")), lambda a: f", lamp: {watts:g} W at 12 V, between: [{a[0]}, {a[1]}]")
        side.wire("B1.b", pins[0], "0.75 mm2")
        _leads_away(side, pins[1], "0.75 mm2", chance, old)
        return pins[1]
    return write


def _lamp_to_ground(watts: float) -> Callable[[_Side, str, random.Random], str]:
    def write(side: _Side, text: str, chance: random.Random) -> str:
        pins = side.device("rear", (("lamp", text, ""), ("lamp", "", "")), lambda a: f", lamp: {watts:g} W at 12 V, between: [{a[0]}, {a[1]}]")
        side.wire(pins[1], "GB1", "1 mm2")
        _leads_away(side, pins[0], "1 mm2", chance)
        return pins[0]
    return write


def _load_to_ground(kind: str, value: str, signal: str, size: str) -> Callable[[_Side, str, random.Random], str]:
    def write(side: _Side, text: str, chance: random.Random) -> str:
        pins = side.device("dash", ((signal, text, ""), (signal, "", "")), lambda a: f", {kind}: {value}, between: [{a[0]}, {a[1]}]")
        side.wire(pins[1], "GB1", size)
        _leads_away(side, pins[0], size, chance)
        return pins[0]
    return write


def _dash_pin(signal: str, more: str = "", size: str = "0.75 mm2", old: str = "") -> Callable[[_Side, str, random.Random], str]:
    def write(side: _Side, text: str, chance: random.Random) -> str:
        pin = side.device("dash", ((signal, text, more),))[0]
        _leads_away(side, pin, size, chance, old)
        return pin
    return write


def _switch(signal: str, to: str) -> Callable[[_Side, str, random.Random], str]:
    def write(side: _Side, text: str, chance: random.Random) -> str:
        pins = side.device("dash", ((signal, text, ""), ("", "", "")), lambda a: f", closes: {{pressed: [[{a[0]}, {a[1]}]]}}")
        side.wire(pins[1], to, "0.75 mm2")
        _leads_away(side, pins[0], "0.75 mm2", chance)
        return pins[0]
    return write


def _supply(fuse: str, signal: str, size: str) -> Callable[[_Side, str, random.Random], str]:
    """A supply for the old engine, at the half of a plug whose other half leaves."""
    def write(side: _Side, text: str, chance: random.Random) -> str:
        pin = side.pin("X900", signal, text)
        side.wire(fuse, pin, size)
        return pin
    return write


def _unit(signal: str, more: str = "", size: str = "0.5 mm2") -> Callable[[_Side, str, random.Random], str]:
    """A pin of the donor's control unit, led to the plug of the body."""
    def write(side: _Side, text: str, chance: random.Random) -> str:
        pin = side.pin("XU", signal, text, more)
        side.wire(pin, side.pin("XB", ""), size)
        return pin
    return write


def _engine_part(signal: str, more: str = "", size: str = "0.5 mm2", closes_ground: bool = False, load: str = "") -> Callable[[_Side, str, random.Random], str]:
    """A part on the donor's engine, led to the plug of the body."""
    def write(side: _Side, text: str, chance: random.Random) -> str:
        if closes_ground:
            pins = side.device("engine", ((signal, text, more), ("ground-case", "", "metal: engine")), lambda a: f", closes: {{low: [[{a[0]}, {a[1]}]]}}")
        elif load:
            pins = side.device("engine", ((signal, text, more), ("ground-case", "", "metal: engine")), lambda a: f", {load}, between: [{a[0]}, {a[1]}]")
        else:
            pins = side.device("engine", ((signal, text, more),))
        side.wire(pins[0], side.pin("XB", ""), size)
        return pins[0]
    return write


_COOLANT, _OIL = "curve: {40 C: 1305 ohm, 100 C: 190 ohm}", "curve: {0 %: 10 ohm, 100 %: 184 ohm}"
_OTHER_CURVE = "curve: {40 C: 450 ohm, 100 C: 60 ohm}"

FUNCTIONS = (
    Function("constant feed", _supply("B1.a", "source-constant", "2.5 mm2"), _unit("feed-constant", "draws: 20 mA"), ("Dauerplus", "positif permanent", "positivo directo")),
    Function("ignition feed", _supply("B1.b", "source-switched", "1.5 mm2"), _unit("feed-switched", "draws: 6 A", "1 mm2"), ("Zündungsplus", "plus après contact", "positivo con llave")),
    Function("accessory feed", _supply("Q1X.3", "source-switched", "1.5 mm2"), _unit("feed-accessory", "draws: 1 A"), ("Zubehör", "accessoires", "accesorios")),
    Function("start", _supply("Q1X.4", "source-switched", "2.5 mm2"), _engine_part("starter-control", "draws: 22 A", "2.5 mm2", load="solenoid: 0.55 ohm"), ("Anlasser", "démarreur", "arranque")),
    Function("charge lamp", _lamp(2, "charge-lamp"), _engine_part("charge-lamp"), ("Ladekontrolle", "témoin de charge", "testigo de carga")),
    Function("oil pressure lamp", _lamp(1.2, "switch-to-ground"), _engine_part("switch-to-ground", closes_ground=True), ("Öldruckkontrolle", "témoin pression d'huile", "presión de aceite")),
    Function("overheat lamp", _lamp(1.2), _engine_part("switch-to-ground", closes_ground=True), ("Übertemperatur", "surchauffe", "sobrecalentamiento")),
    Function("coolant temperature gauge", _dash_pin("gauge", _COOLANT, old="resistive-sender"), _engine_part("resistive-sender", _COOLANT),
             ("Kühlmittelanzeige", "jauge de température d'eau", "termómetro de agua")),
    Function("oil pressure gauge", _dash_pin("gauge", _OIL), _engine_part("resistive-sender", _OIL), ("Öldruckmesser", "manomètre d'huile", "manómetro de aceite")),
    Function("engine speed", _dash_pin("tachometer"), _unit("output-tachometer"), ("Drehzahlmesser", "compte-tours", "cuentarrevoluciones")),
    Function("road speed", _dash_pin("speed-pulses"), _unit("input-speed-pulses"), ("Tachogeber", "capteur de vitesse", "velocidad del vehículo")),
    Function("brake switch", _switch("brake-switch", "B1.a"), _unit("input-switch-to-supply", "pull-down: 10 kohm"), ("Bremslichtschalter", "contacteur de frein", "interruptor de freno")),
    Function("clutch switch", _switch("switch-to-ground", "GB1"), _unit("input-switch-to-ground", "pull-up: 4.7 kohm to supply"), ("Kupplungsschalter", "contacteur d'embrayage", "embrague")),
    Function("air-conditioning request", _switch("switch-to-supply", "B1.b"), _unit("input-switch-to-supply", "pull-down: 10 kohm"), ("Klimaanforderung", "demande de clim", "solicitud de clima")),
    Function("check-engine lamp", _lamp(1.2), _unit("output-lamp-low", "limit: 0.3 A"), ("Motorkontrollleuchte", "voyant moteur", "testigo de motor")),
    Function("glow lamp", _lamp(2.5), _unit("output-lamp-low", "limit: 0.3 A"), ("Vorglühkontrolle", "voyant de préchauffage", "testigo de calentadores")),
    Function("fuel pump", _load_to_ground("motor", "{running: 6 A at 12 V, stalled: 0.8 ohm}", "fuel-pump", "1.5 mm2"), _unit("output-fuel-pump", "limit: 1 A"),
             ("Kraftstoffpumpe", "pompe à essence", "bomba de gasolina")),
    Function("radiator fan", _load_to_ground("motor", "{running: 16 A at 12 V, stalled: 0.22 ohm}", "motor", "4 mm2"), _unit("output-low", "limit: 1 A"), ("Kühlerlüfter", "motoventilateur", "electroventilador")),
    Function("air-conditioning clutch", _load_to_ground("coil", "3.4 ohm", "clutch-coil", "1 mm2"), _unit("output-clutch", "limit: 1 A"), ("Magnetkupplung", "embrayage de compresseur", "embrague del compresor")),
    Function("reverse lamp", _lamp_to_ground(21), _engine_part("switch-to-supply", "limit: 5 A", "1 mm2"), ("Rückfahrlicht", "feu de recul", "marcha atrás")),
    Function("diagnostic line", _dash_pin("k-line"), _unit("k-line"), ("Prüfleitung", "ligne de contrôle", "línea de pruebas")),
    Function("network high", _dash_pin("can-high"), _unit("can-high"), ("Busleitung eins", "ligne un", "bus uno")),
    Function("network low", _dash_pin("can-low"), _unit("can-low"), ("Busleitung zwei", "ligne deux", "bus dos")),
    Function("power-steering pressure", _switch("switch-to-ground", "GB1"), _unit("input-switch-to-ground", "pull-up: 4.7 kohm to supply"), ("Lenkhilfedruck", "pression de direction", "presión de dirección")),
    Function("air-conditioning pressure", _switch("switch-to-ground", "GB1"), _unit("input-switch-to-ground", "pull-up: 4.7 kohm to supply"), ("Kältemitteldruck", "pression de fluide", "presión de gas")),
    Function("electrical load", _supply("B1.c", "source-switched", "1 mm2"), _unit("input-switch-to-supply", "pull-down: 10 kohm"), ("Lastmeldung", "charge électrique", "carga eléctrica")),
    Function("power ground", _supply("GB1", "ground-power", "4 mm2"), _unit("ground-power", "", "2.5 mm2"), ("Masse", "masse", "masa")),
)
UNWIREABLE = (
    Function("oil temperature", _dash_pin("gauge", _OTHER_CURVE), _engine_part("resistive-sender", "curve: {40 C: 2100 ohm, 100 C: 170 ohm}"), ("Öltemperatur", "température d'huile", "temperatura de aceite")),
    Function("immobiliser", _dash_pin("immobiliser"), _unit("immobiliser"), ("Wegfahrsperre", "antidémarrage", "inmovilizador")),
)
HOST_ALONE = (
    ("choke", _lamp(1.2)), ("vacuum gauge", _dash_pin("gauge", "curve: {0 %: 3 ohm, 100 %: 90 ohm}")), ("ballast bypass", _supply("B1.b", "source-switched", "1.5 mm2")), ("seat belt", _lamp(1.2)),
    ("coolant level", _lamp(1.2)), ("cruise control", _switch("switch-to-supply", "B1.b")),
)
DONOR_ALONE = (
    ("gear indicator", _unit("output-lamp-low", "limit: 0.3 A")), ("seat heater", _unit("output-low", "limit: 1 A")), ("boost pressure", _unit("output-analog")), ("handbrake", _unit("input-switch-to-ground", "pull-up: 4.7 kohm to supply")),
    ("heated screen", _unit("input-switch-to-supply", "pull-down: 10 kohm")), ("washer fluid level switch", _engine_part("switch-to-ground", closes_ground=True)),
)
WHOLE = (("headlamp high", "5"), ("side lamp left", "5"), ("fog lamp", "21"), ("interior lamp", "10"), ("number plate", "5"))


# ------------------------------------------------------------------------------- words

def thesaurus() -> Mapping[str, Sequence[str]]:
    """Meaning -> its wordings."""
    found: dict[str, list[str]] = {}
    for row in rows("function_words"):
        if row["sort"] == "function":
            found.setdefault(row["meaning"], []).append(row["wording"])
    return found


def is_in_thesaurus(text: str) -> bool:
    """Whether a wording stands in the thesaurus, or is made of words that all do."""
    table = rows("function_words")
    words = {word for row in table if row["sort"] in ("function", "word", "filler") for word in (row["wording"].lower(), *row["wording"].lower().split(), *row["meaning"].lower().split())}
    lower = text.lower()
    return lower in words or all(word.strip(".") in words for word in lower.split())


def misspelt(text: str, chance: random.Random) -> str:
    """One letter of a word of five letters or more dropped, doubled, exchanged with the next, or another."""
    words = text.split()
    long = [number for number, word in enumerate(words) if len(word) >= 5]
    for number in chance.sample(long, min(len(long), 1 + chance.randrange(2))):
        word, at = words[number], chance.randrange(1, len(words[number]) - 1)
        words[number] = chance.choice((
            word[:at] + word[at + 1:], word[:at] + word[at] + word[at:], word[:at] + word[at + 1] + word[at] + word[at + 2:], word[:at] + chance.choice("aeiourstln") + word[at + 1:]))
    return " ".join(words)


def shortened(text: str, chance: random.Random) -> str:
    """Words of five letters or more cut off after four or five, or without the vowels behind the first letter."""
    def short(word: str) -> str:
        if len(word) < 5:
            return word
        if chance.random() < 0.5:
            return word[:chance.choice((4, 5))] + "."
        return word[0] + "".join(letter for letter in word[1:] if letter not in "aeiou")
    return " ".join(map(short, text.split()))


def _unknown_wording(function: Function, wordings: Sequence[str], chance: random.Random) -> str:
    """Misspelt, shortened or of another language, a third each; none that the thesaurus has."""
    full = [wording for wording in wordings if any(len(word) >= 5 for word in wording.split())]
    how = chance.choice((misspelt, shortened, None))
    for _ in range(40):
        text = how(chance.choice(full), chance) if how and full else chance.choice(function.elsewhere)
        if not is_in_thesaurus(text):
            return text
    return chance.choice(function.elsewhere)


# ------------------------------------------------------------------------------- the pair

def generate_pair(seed: int) -> Pair:
    """The same seed gives the same pair."""
    chance = random.Random(seed)
    host, donor = _Side("host"), _Side("donor")
    _write_host(host)
    _write_donor(donor)
    words = thesaurus()
    made: list[tuple[Function, bool]] = [(function, True) for function in chance.sample(FUNCTIONS, _PARTNERS)] + [(function, False) for function in UNWIREABLE]
    without = set(map(id, chance.sample([function for function, _ in made[:_PARTNERS]], round(_PARTNERS / 5))))
    unknown_words = [number % 2 == 0 for number in range(2 * _PARTNERS)]
    chance.shuffle(unknown_words)
    texts: list[list[str]] = []
    sorts: list[str] = []
    for function, can in made:
        said, unknown = [], False
        for _ in range(2):
            if can and unknown_words.pop():
                said.append(_unknown_wording(function, words[function.meaning], chance))
                unknown = True
            else:
                said.append(chance.choice(words[function.meaning]))
        if id(function) in without:
            blank = chance.choice(((0,), (1,), (0, 1)))
            said = ["" if number in blank else text for number, text in enumerate(said)]
        texts.append(said)
        sorts.append(NONE if "" in said else UNKNOWN if unknown else KNOWN)
    ends: dict[int, list[str]] = {number: ["", ""] for number in range(len(made))}
    for side_number, (side, alone) in enumerate(((host, HOST_ALONE), (donor, DONOR_ALONE))):
        todo: list[tuple[int, Callable[[_Side, str, random.Random], str], str]] = [
            (number, (function.host, function.donor)[side_number], texts[number][side_number]) for number, (function, _) in enumerate(made)]
        todo += [(-1, write, text) for text, write in chance.sample(alone, 5)]
        chance.shuffle(todo)
        for number, write, text in todo:
            address = write(side, text, chance)
            if number >= 0:
                ends[number][side_number] = address
    _write_ends(host, "X900", "bulkhead")
    _write_ends(donor, "XU", "cabin", "U1")
    _write_ends(donor, "XB", "cabin")
    found = [(Partner(function.meaning, *ends[number], sorts[number], tuple(texts[number])), can) for number, (function, can) in enumerate(made)]
    return Pair(host.text(), donor.text(), tuple(one for one, can in found if can), tuple(one for one, can in found if not can))


def _write_host(side: _Side) -> None:
    side.add("devices", 'G1: {title: part a, place: battery, terminals: ["+", "-"], battery: {emf: 12.6 V, resistance: 8 mohm}, between: [G1.+, G1.-]}')
    side.add("devices", "Q1: {title: key switch, connectors: [Q1X], closes: {accessory: [[Q1X.1, Q1X.3]], run: [[Q1X.1, Q1X.2], [Q1X.1, Q1X.3]], start: [[Q1X.1, Q1X.2], [Q1X.1, Q1X.4]]}}")
    side.add("connectors", "Q1X: {title: plug q, place: dash, half: socket, face: [[1, 2, 3, 4]], view: mating face}")
    side.add("segments", "T1: {from: battery, to: dash, length: 900 mm, zone: cabin}")
    side.add("segments", "T2: {from: dash, to: bulkhead, length: 700 mm, zone: cabin}")
    side.add("segments", "T3: {from: bulkhead, to: engine, length: 900 mm, zone: engine}")
    side.add("segments", "T4: {from: dash, to: rear, length: 3 m, zone: cabin}")
    side.add("grounds", "GB1: {title: stud 1, place: dash, metal: body}")
    for fuse, rating in (("F1", 20), ("F2", 15), ("F3", 10)):
        side.add("fuses", f"{fuse}: {{box: B1, rating: {rating} A, type: blade}}")
    side.add("boxes", "B1: {title: box 1, place: dash, bars: {a: [F1.2], b: [F2.2], c: [F3.2]}}")
    for one, other, size in (("G1.+", "Q1X.1", "4 mm2"), ("G1.+", "F1.1", "4 mm2"), ("G1.-", "GB1", "10 mm2"), ("Q1X.2", "F2.1", "2.5 mm2")):
        side.wire(one, other, size)
    lights = side.device("dash", (("", "", ""), ("source-switched", "", "")), lambda a: f", closes: {{on: [[{a[0]}, {a[1]}]]}}")
    side.wire("B1.a", lights[0], "1.5 mm2")
    side.wire(lights[1], "F3.1", "1.5 mm2")
    for text, watts in WHOLE:
        pins = side.device("rear", (("lamp", text, ""), ("lamp", "", "")), lambda a, watts=watts: f", lamp: {watts} W at 12 V, between: [{a[0]}, {a[1]}]")
        side.wire("B1.c", pins[0], "1 mm2")
        side.wire(pins[1], "GB1", "1 mm2")


def _write_donor(side: _Side) -> None:
    side.add("segments", "S1: {from: engine, to: cabin, length: 900 mm, zone: engine}")
    side.add("segments", "S2: {from: cabin, to: dash, length: 700 mm, zone: cabin}")
    side.add("grounds", "GE1: {title: stud 1, place: engine, metal: engine}")
    for kind, output in (("injector", "output-injector"), ("inductive-sensor-plus", "input-inductive-plus"), ("knock-sensor", "input-knock"), ("thermistor", "input-resistive"), ("oxygen-sensor", "input-oxygen")):
        pin = side.pin("XU", output, "")
        side.wire(pin, side.device("engine", ((kind, "", ""),))[0], "0.5 mm2")


def _write_ends(side: _Side, connector: str, place: str, device: str = "") -> None:
    if connector in side.pins:
        side.add("connectors", f"{connector}: {{title: plug, place: {place}, half: socket, face: [[{', '.join(side.pins[connector])}]], view: mating face}}")
        if device:
            side.add("devices", f"{device}: {{title: part u, connectors: [{connector}]}}")
