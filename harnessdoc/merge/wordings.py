"""Function words: what the words at a pin say that its circuit does.

Takes a text as somebody wrote it (``temp gauge snd.``, ``61/L``, ``fuel pump relay``); gives a Wording: the functions
it names, how sure that is, and the letters that are left to compare where no function is known. Two wordings are
compared with ``alike``. The thesaurus is ``trade/data/function_words.csv``: common practice of the trade, and the
terminal numbers of DIN 72552. Its columns:

meaning  what is meant, in plain words; broader: the meaning that this one is a case of, "" where none
sort     ``function`` (a phrase that names what a circuit does), ``word`` (another form of one word), ``thing`` (what stands
         at the end of the wire), ``filler`` (says nothing of the function)
wording  as it is written; tradition: ``full words``, ``abbreviation`` or ``terminal`` (of DIN 72552)

A word that is not in the thesaurus is taken for the nearest that is: a letter wrong, or letters left out. What
another language says is mostly not known here; then only what is wired speaks (``candidates.py``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache, lru_cache

from ..trade.tables import rows

MISSPELT = 0.75
"""The least share of letters in common by which a word is taken for another (difflib's ratio)."""
SHORT_MISSPELT = 0.85
"""The same of words of four letters: many differ in one (``part``, ``park``)."""
SHORTENED = 0.85
"""How sure a word is that is known by its first letters, or by its consonants."""
INSIDE = 0.7
"""How sure a word is that stands within a longer one."""
BROADER = 0.6
"""How alike a meaning and a case of it are."""
APART = -0.6
"""How alike two wordings are whose functions are both known and differ."""
LEFT_TO_LETTERS = 0.6
"""The most that letters alone count, where a function is not known."""
_BY_CHANCE = 0.3
"""The share of letters that wordings of different functions have in common by chance."""
_OTHER_WORDS = 0.1
"""What it costs where the same function is said in other words: of two that do the same, those that say the same go together."""
_FUNCTIONS = 3
_UNITS = frozenset(("a", "amp", "amps", "w", "watt", "v", "ohm", "ohms", "mm2", "awg", "kohm"))
_TERMINAL = frozenset(("terminal", "term"))
_SEPARATORS = re.compile(r"[\s,;:()\[\]_|]+")
_FINER = re.compile(r"[-/.+]+")
_COMPOUND = re.compile(r"[a-z]{2,}-[a-z]{2,}")
_ALPHABET = re.compile(r"[\W_]+")


@dataclass(frozen=True, slots=True)
class Wording:
    """A text as understood.

    text:      as written
    functions: meaning -> how sure, 0 to 1, the surest first
    things:    what stands at the end, as far as said: "lamp", "sender", ...
    letters:   the text without what is known to say nothing, for a comparison by letters
    """

    text: str
    functions: Mapping[str, float]
    things: frozenset[str]
    letters: str

    @property
    def is_empty(self) -> bool:
        return not self.letters

    @property
    def sure(self) -> float:
        """How sure the surest function is; 0 where none is known."""
        return next(iter(self.functions.values()), 0.0)


@dataclass(frozen=True, slots=True)
class _Thesaurus:
    """word -> its canonical form; phrase (canonical words) -> meaning; whole -> meaning; broader of each meaning."""

    canonical: Mapping[str, str]
    phrases: Mapping[tuple[str, ...], str]
    with_word: Mapping[str, tuple[tuple[str, ...], ...]]
    whole: Mapping[str, str]
    terminals: Mapping[str, str]
    broader: Mapping[str, str]
    broad: frozenset[str]
    things: frozenset[str]
    fillers: frozenset[str]
    compounds: Mapping[str, str]
    vocabulary: tuple[str, ...]


@cache
def _thesaurus() -> _Thesaurus:
    table = rows("function_words")
    canonical = {row["wording"]: row["meaning"] for row in table if row["sort"] == "word"}
    fillers = frozenset(row["wording"] for row in table if row["sort"] == "filler")
    phrases: dict[tuple[str, ...], str] = {}
    whole: dict[str, str] = {}
    terminals: dict[str, str] = {}
    for row in table:
        if row["sort"] != "function":
            continue
        if row["tradition"] == "terminal":
            terminals[row["wording"].lower()] = row["meaning"]
            continue
        if row["tradition"] == "abbreviation":
            whole.setdefault(row["wording"].lower(), row["meaning"])
            continue
        words = [canonical.get(word, word) for word in row["wording"].split()]
        phrases.setdefault(tuple(sorted({word for word in words if word not in fillers} or set(words))), row["meaning"])
    with_word: dict[str, list[tuple[str, ...]]] = {}
    for phrase in phrases:
        for word in phrase:
            with_word.setdefault(word, []).append(phrase)
    vocabulary = sorted({*with_word, *canonical, *canonical.values(), *fillers})
    return _Thesaurus(canonical, phrases, {word: tuple(found) for word, found in with_word.items()}, whole, terminals,
                      {row["meaning"]: row["broader"] for row in table if row["broader"]}, frozenset(row["broader"] for row in table),
                      frozenset(row["meaning"] for row in table if row["sort"] == "thing"), fillers,
                      {word.replace("-", " "): word for word in vocabulary if _COMPOUND.fullmatch(word)}, tuple(vocabulary))


@cache
def terminal_meaning(name: str) -> str:
    """What a terminal number of DIN 72552 says of the circuit at it (``61`` is charge lamp); "" where it is none."""
    return _thesaurus().terminals.get(name.lower(), "")


@cache
def broader_meaning(meaning: str) -> str:
    """The meaning that this one is a case of; "" where it is none."""
    return _thesaurus().broader.get(meaning, "")


@cache
def understood(text: str) -> Wording:
    """A text as understood; an empty one says nothing."""
    thesaurus = _thesaurus()
    lower = text.lower().strip()
    functions: dict[str, float] = {}
    for form in (lower, lower.rstrip(".")):
        for known in (thesaurus.whole, thesaurus.terminals):
            if form in known:
                functions.setdefault(known[form], 1.0)
    tokens = list(_tokens(lower))
    taken: set[int] = set()
    options = [_options(token) for token in tokens]
    things = frozenset(word for option in options for word, sure in option.items() if word in thesaurus.things and sure == max(option.values()))
    if not functions:
        for position, token in enumerate(tokens):
            is_amount = position + 1 < len(tokens) and tokens[position + 1] in _UNITS
            # "ign. 15" names a terminal, "part 15" and "plug 15" do not
            is_terminal = len(token) > 1 and not is_amount and all(_stands_by_terminal(other) for other in tokens)
            meaning = thesaurus.whole.get(token) or (thesaurus.terminals.get(token) if is_terminal else None)
            if meaning:
                functions.setdefault(meaning, 0.9)
                taken.add(position)
        telling = sum(not _is_filler(token) for token in tokens) or 1
        for _ in range(_FUNCTIONS):
            best = _best_phrase(options, taken)
            if best is None:
                break
            phrase, sure, used = best
            coverage = 0.7 + 0.3 * min(1.0, len(used) / telling)
            meaning = thesaurus.phrases[phrase]
            functions[meaning] = max(functions.get(meaning, 0.0), sure * coverage)
            taken |= used
    if len(functions) > 1:     # "washer supply" is of the washer, not any supply
        functions = {meaning: sure for meaning, sure in functions.items() if meaning not in thesaurus.broad} or functions
    ordered = dict(sorted(functions.items(), key=lambda pair: -pair[1]))
    return Wording(text, ordered, things, " ".join(token for token in tokens if not _is_filler(token)) or " ".join(tokens))


def alike(one: Wording, other: Wording) -> tuple[float, str]:
    """How alike two wordings are, from APART to 1, and the meaning they share ("" where only letters are alike)."""
    if one.is_empty or other.is_empty:
        return 0.0, ""
    best, meaning = 0.0, ""
    for a, sure_a in one.functions.items():
        for b, sure_b in other.functions.items():
            share = 1.0 if a == b else BROADER if broader_meaning(a) == b or broader_meaning(b) == a else 0.0
            if share * sure_a * sure_b > best:
                best, meaning = share * sure_a * sure_b, a if share == 1.0 or broader_meaning(a) == b else b
    letters = LEFT_TO_LETTERS * max(0.0, same_letters(one.letters, other.letters) - _BY_CHANCE) / (1 - _BY_CHANCE)
    if best > 0.0:
        return max(best * (1 - _OTHER_WORDS * (1 - same_letters(one.letters, other.letters))), letters), meaning
    if _are_cases_of_one(one, other):
        return letters, ""          # a gauge and a lamp of the oil pressure: what is wired says whether they go together
    known = min(one.sure, other.sure)
    return (letters if letters > 0.45 else letters * (1 - known) + APART * known), ""


def disagree(one: Wording, other: Wording) -> bool:
    """Whether the functions of both are known, and none of the one is, is a case of, or shares its broader meaning with one of the other."""
    return bool(one.functions and other.functions) and not alike(one, other)[1] and not _are_cases_of_one(one, other)


def _are_cases_of_one(one: Wording, other: Wording) -> bool:
    """Whether some function of each is a case of the same meaning."""
    return any((broader := broader_meaning(a)) and broader == broader_meaning(b) for a in one.functions for b in other.functions)


@lru_cache(maxsize=100_000)
def same_letters(one: str, other: str) -> float:
    """The share of groups of three letters that two texts have in common (Dice's coefficient), 0 to 1."""
    a, b = groups_of_letters(one), groups_of_letters(other)
    if not a or not b:
        return 0.0
    return 2 * len(a & b) / (len(a) + len(b))


@cache
def groups_of_letters(text: str) -> frozenset[str]:
    """Every three letters that follow each other, with the ends of the words marked; numbers left out."""
    words = [word for word in _ALPHABET.sub(" ", text).split() if not word.isdigit()]
    return frozenset(padded[i:i + 3] for word in words for padded in (f" {word} ",) for i in range(len(padded) - 2))


def _tokens(lower: str) -> Iterator[str]:
    """The words of a text; one with a stroke or a hyphen is one word where the thesaurus has it, else its parts."""
    thesaurus = _thesaurus()
    for apart, together in thesaurus.compounds.items():         # "air conditioning" is "air-conditioning"
        if apart in lower:
            lower = re.sub(rf"\b{apart}\b", together, lower)
    for raw in _SEPARATORS.split(lower):
        word = raw.strip(".") if raw.strip(".") else raw
        if not word:
            continue
        if word in thesaurus.canonical or word in thesaurus.whole or word in thesaurus.terminals or word in thesaurus.with_word:
            yield word
            continue
        yield from (part for part in _FINER.split(word) if part)


def _is_filler(token: str) -> bool:
    thesaurus = _thesaurus()
    return token in thesaurus.fillers or thesaurus.canonical.get(token) in thesaurus.fillers


def _stands_by_terminal(token: str) -> bool:
    """Whether a word can stand beside a terminal number: one that names a function, another terminal, or ``terminal`` itself."""
    thesaurus = _thesaurus()
    return token in thesaurus.terminals or token in _TERMINAL or token in thesaurus.whole or not _is_filler(token) and max(_options(token).values(), default=0.0) == 1.0


@cache
def _options(token: str) -> Mapping[str, float]:
    """Canonical words that a token may stand for -> how sure."""
    thesaurus = _thesaurus()
    if token in thesaurus.canonical:
        return {thesaurus.canonical[token]: 1.0, **({token: 0.9} if token in thesaurus.with_word else {})}
    if token in thesaurus.with_word or token in thesaurus.fillers:
        return {token: 1.0}
    if len(token) < 3 or token.isdigit():
        return {}
    found: dict[str, float] = {}
    for word in thesaurus.vocabulary:
        sure = _resembles(token, word)
        if sure:
            meant = thesaurus.canonical.get(word, word)
            found[meant] = max(found.get(meant, 0.0), sure)
    best = sorted(found.items(), key=lambda pair: (-pair[1], pair[0]))[:4]
    return dict(best)


def _resembles(token: str, word: str) -> float:
    """How sure a token is a misspelt or shortened form of a word, or has it inside; 0 where it is not."""
    if len(word) < 4:
        return 0.0
    if token[0] == word[0] and len(token) < len(word):
        if word.startswith(token):
            return SHORTENED
        if len(token) >= 3 and _is_within(token, word) and _is_within(_consonants(word)[:2], token):
            return SHORTENED - 0.1
    if len(word) >= 5 and len(token) > len(word) + 1 and word[:len(word) - 1] in token:
        return INSIDE
    if abs(len(token) - len(word)) > 3 or token[0] != word[0] and token[1:3] != word[1:3] and token[:2] != word[1::-1]:
        return 0.0
    if len(token) == len(word) == 4 and sorted(token) == sorted(word):
        return MISSPELT
    matcher = SequenceMatcher(None, token, word, autojunk=False)
    if matcher.real_quick_ratio() < MISSPELT or matcher.quick_ratio() < MISSPELT:
        return 0.0
    ratio = matcher.ratio()
    return ratio if ratio >= (MISSPELT if len(token) > 4 else SHORT_MISSPELT) else 0.0


def _is_within(token: str, word: str) -> bool:
    """Whether the letters of a token stand in a word in this order."""
    letters = iter(word)
    return all(letter in letters for letter in token)


def _consonants(word: str) -> str:
    return word[0] + "".join(letter for letter in word[1:] if letter not in "aeiouy")


def _best_phrase(options: list[Mapping[str, float]], taken: set[int]) -> tuple[tuple[str, ...], float, set[int]] | None:
    """The phrase that the words not yet taken say best: most words, then the surest; with how sure, and the words used."""
    thesaurus = _thesaurus()
    said: dict[str, tuple[float, int]] = {}
    for position, option in enumerate(options):
        if position in taken:
            continue
        for word, sure in option.items():
            if sure > said.get(word, (0.0, 0))[0]:
                said[word] = (sure, position)
    best = None
    for phrase in dict.fromkeys(phrase for word in said for phrase in thesaurus.with_word.get(word, ())):
        if not all(word in said for word in phrase):
            continue
        used = {said[word][1] for word in phrase}
        if len(used) < len(phrase):
            continue
        sures = [said[word][0] for word in phrase]
        sure = 1.0
        for one in sures:
            sure *= one
        rank = (round(sum(sures), 6), round(sure, 6), -len(" ".join(phrase)), phrase)
        if best is None or rank[:3] > best[0][:3]:
            best = (rank, phrase, sure, used)
    return best[1:] if best else None
