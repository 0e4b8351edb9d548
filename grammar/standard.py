"""What is usually said: the grammar with standard threads from their tables and usual numbers.

A part of what can be said. The ear prefers it where the sound leaves a doubt, and never listens
to it alone: it would make the nearest usual question of every unusual one.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from assistant.tables import rows
from grammar.automaton import Expansions
from grammar.spelling import digit_words, fraction_words, whole_words

Row = tuple[tuple[str, bool], ...]
"""Symbols of one alternative: (word or rule, is a word)."""

_NUMBERS = frozenset(("number", "count", "below_hundred", "decimal", "mixed", "fraction", "length"))
"""Rules of numbers in whose place the usual ones are set."""
_SERIES = {
    "UNC": "series_coarse",
    "UNF": "series_fine",
    "UNEF": "series_extra",
    "BSW": "series_whitworth",
    "BSF": "series_whitworth",
    "acme": "series_acme",
}
"""Series as in the tables -> the grammar's rule for its name."""
_TABLES = (
    "iso_metric_sizes.csv",
    "trapezoidal_sizes.csv",
    "unified_sizes.csv",
    "whitworth_sizes.csv",
    "acme_sizes.csv",
    "ba_sizes.csv",
)
_PIPES = ("iso228_sizes.csv", "npt_sizes.csv", "iso7_sizes.csv")


def standard_rules(rules: Expansions) -> Expansions:
    """`rules` with the rules of threads and numbers narrowed to the usual ones.

    rules   : from grammar.jsgf.expansions
    Returns : rules that make some of the same sentences and no other
    """
    made: dict[str, Sequence[Row]] = {name: [tuple(row) for row in rules[name]] for name in rules}
    for name, spec in _usual().items():
        if name in made:
            made[f"usual {name}"] = [_words(said) for said in _said(spec)]
            made[name] = [_narrowed(row, f"usual {name}") for row in made[name]]
    made |= {name: list(each) for name, each in _threads().items() if name in rules}
    return made


@cache
def standard_fingerprint() -> str:
    """A short name for the tables and the text that this is made from."""
    tables = [files("assistant.tables").joinpath(name) for name in (*_TABLES, *_PIPES)]
    own = [files("grammar").joinpath(name) for name in ("usual_numbers.yaml", "standard.py")]
    whole = b"".join(each.read_bytes() for each in (*tables, *own))
    return hashlib.sha256(whole).hexdigest()[:12]


def _narrowed(row: Row, usual: str) -> Row:
    return tuple(
        (usual, False) if not is_word and symbol in _NUMBERS else (symbol, is_word)
        for symbol, is_word in row
    )


@cache
def _usual() -> Mapping[str, Mapping[str, Any]]:
    """Rule -> what is usually said for its numbers; a name in place of a list stands for its list."""
    text = files("grammar").joinpath("usual_numbers.yaml").read_text(encoding="utf-8")
    found: dict[str, Any] = yaml.safe_load(text)
    return {name: found[spec] if isinstance(spec, str) else spec for name, spec in found.items()}


def _said(spec: Mapping[str, Any]) -> list[str]:
    """Every usual number of one row of the table, in every way that it is said."""
    found: list[str] = []
    for first, last, step in spec.get("whole", ()):
        for number in range(first, last + 1, step):
            found += whole_ways(number)
    for first, last, step in spec.get("decimals", ()):
        value = Fraction(first)
        while value <= Fraction(last):
            found += decimal_ways(value)
            value += Fraction(step)
    for parts in _shop_fractions(spec.get("fractions", 1)):
        found += fraction_ways(parts)
    largest, finest = spec.get("mixed", (0, 1))
    for whole in range(1, largest + 1):
        for parts in _shop_fractions(finest):
            found += fraction_ways(whole + parts)
    return list(dict.fromkeys(found))


def _shop_fractions(finest: int) -> Iterator[Fraction]:
    for number in range(1, finest):
        yield Fraction(number, finest)


def whole_ways(number: int) -> list[str]:
    """A whole number as it is said.

    >>> whole_ways(120)
    ['one hundred twenty', 'a hundred twenty', 'one hundred and twenty', 'a hundred and twenty']
    """
    words = whole_words(number)
    found = [words]
    if words.startswith("one hundred") or words.startswith("one thousand"):
        found.append(f"a {words.removeprefix('one ')}")
    if 100 < number < 1000 and number % 100:
        found += [each.replace("hundred ", "hundred and ", 1) for each in found]
    return found if number < 1000 or number % 1000 == 0 else []


def decimal_ways(value: Fraction) -> list[str]:
    """A decimal of up to four places as it is said; a whole number has none.

    >>> decimal_ways(Fraction("1.75"))
    ['one point seven five', 'one point seventy five']
    >>> decimal_ways(Fraction("0.05"))
    ['point oh five', 'zero point oh five', 'point zero five', 'zero point zero five']
    """
    whole, rest = divmod(value, 1)
    if rest == 0 or rest * 10**4 % 1:
        return []
    places = f"{int(rest * 10**4):04d}".rstrip("0")
    behind = [digit_words(places)]
    if "0" in places:
        behind.append(behind[0].replace("oh", "zero"))
    if len(places) == 2 and places[0] != "0":
        behind.append(whole_words(int(places)))
    fronts = [f"{whole_words(int(whole))} "] if whole else ["", "zero "]
    return [f"{front}point {each}" for each in behind for front in fronts]


def fraction_ways(value: Fraction) -> list[str]:
    """A shop fraction as it is said.

    >>> fraction_ways(Fraction(1, 4))
    ['one quarter', 'quarter', 'a quarter']
    >>> fraction_ways(Fraction(5, 4))
    ['one and a quarter', 'one and one quarter']
    """
    words = fraction_words(value)
    found = [words]
    if value > 1:
        whole, _, part = words.partition(" and a ")
        found += [f"{whole} and one {part}"] if part else []
    elif words.startswith("one "):
        part = words.removeprefix("one ")
        if value == Fraction(1, 2):
            return [words, part]
        # 'eighth' and finer parts are not said alone.
        found += [part] if value == Fraction(1, 4) else []
        found.append(f"a {part}")
    # 'three quarter inch' beside 'three quarters of an inch'.
    return found + [each.removesuffix("s") for each in found if each.endswith("s")]


def _number_ways(value: Fraction) -> list[str]:
    return whole_ways(int(value)) if value.denominator == 1 else decimal_ways(value)


def _words(said: str) -> Row:
    return tuple((word, True) for word in said.split())


@cache
def _threads() -> Mapping[str, tuple[Row, ...]]:
    """The grammar's rules of threads, of the sizes that the tables hold."""
    metric = {(row["nominal"], row["pitch"]) for row in rows("iso_metric_sizes.csv")}
    trapezoidal = {(row["nominal"], row["pitch"]) for row in rows("trapezoidal_sizes.csv")}
    pitches = {pitch for _, pitch in metric | trapezoidal}
    return {
        "metric_thread": tuple(_by_pitch("metric_word", metric)),
        "trapezoidal_thread": tuple(_by_pitch("trapezoidal_word", trapezoidal)),
        "metric_pitch": tuple(
            (*_words(said), *more)
            for pitch in sorted(pitches)
            for said in _number_ways(Fraction(pitch))
            for more in ((), (("millimetre", False),))
        ),
        "unified_thread": tuple(dict.fromkeys(_per_inch())),
        "pipe_thread": tuple(_pipe()),
        "ba_thread": tuple(
            (*_words("zero" if row["number"] == "0" else whole_words(int(row["number"]))),
             ("series_ba", False))
            for row in rows("ba_sizes.csv")
        ),
    }  # fmt: skip


def _by_pitch(word: str, sizes: Iterable[tuple[str, str]]) -> Iterator[Row]:
    """'metric twelve', 'metric twelve by one point seven five', '… pitch'."""
    for nominal, pitch in sorted(sizes):
        for size in _number_ways(Fraction(nominal)):
            yield ((word, False), *_words(size))
            for said in _number_ways(Fraction(pitch)):
                by: Row = ((word, False), *_words(size), ("by", False), *_words(said))
                yield by
                yield (*by, ("pitch", True))


def _per_inch() -> Iterator[Row]:
    """'half inch thirteen', 'number ten thirty two fine', 'one inch five acme'."""
    named = [
        (row["series"], row["size"], row["tpi"])
        for row in rows("unified_sizes.csv")
        if row["series"] in _SERIES
    ]
    named += [(row["series"], row["size"], row["tpi"]) for row in rows("whitworth_sizes.csv")]
    named += [("acme", row["size"], row["tpi"]) for row in rows("acme_sizes.csv")]
    for series, size, tpi in named:
        name: Row = ((_SERIES[series], False),)
        for said in _size_ways(size):
            for rate in _rate_ways(Fraction(tpi)):
                yield (*said, *_words(rate))
                yield (*said, *_words(rate), ("per_inch", False))
                yield (*said, *_words(rate), *name)
            yield (*said, *name)
    for table in _PIPES:
        for row in rows(table):
            for said in _size_ways(row["size"]):
                yield (*said, ("series_pipe", False))
                for rate in _rate_ways(Fraction(row["tpi"])):
                    yield (*said, *_words(rate), ("series_pipe", False))


def _rate_ways(tpi: Fraction) -> list[str]:
    return whole_ways(int(tpi)) if tpi.denominator == 1 else fraction_ways(tpi)


def _size_ways(size: str) -> list[Row]:
    """'#10', '1/2', '1 1/4' or '1-1/4' of the tables, as it is said."""
    if size.startswith("#"):
        number = int(size[1:])
        said = ("zero", "oh") if number == 0 else (whole_words(number),)
        return [_words(f"number {each}") for each in said]
    value = sum((Fraction(part) for part in size.replace("-", " ").split()), Fraction(0))
    if value.denominator == 1:
        return [(*_words(whole_words(int(value))), ("inch", False))]
    return [
        (*_words(each), *inch) for each in fraction_ways(value) for inch in ((), (("inch", False),))
    ]


def _pipe() -> Iterator[Row]:
    for table in _PIPES:
        for row in rows(table):
            for said in _size_ways(row["size"]):
                yield (("pipe_word", False), *said)
