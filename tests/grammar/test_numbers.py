"""Numbers: words and figures there and back."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.query import Conversion, FeedOf, NotUnderstood, ThreadFor
from assistant.units import magnitude_in, quantity
from grammar.spelling import decimal_words, fraction_words, whole_words
from grammar.written import Unreadable, words_of
from tests.whole_grammar import whole_grammar

GRAMMAR = whole_grammar()


def length_of(words: str) -> Fraction:
    query = GRAMMAR.read(f"{words} in inches", "mm")
    assert isinstance(query, Conversion), query
    return magnitude_in(query.amount, "mm")


@given(st.integers(0, 9999))
def test_whole_numbers_there_and_back(number: int) -> None:
    assert length_of(f"{whole_words(number)} millimetres") == number


@given(st.integers(0, 99), st.sampled_from([2, 4, 8, 16, 32, 64]), st.data())
def test_shop_fractions_there_and_back(whole: int, below: int, data: st.DataObject) -> None:
    above = data.draw(st.integers(1, below - 1).filter(lambda n: n % 2 == 1))
    number = whole + Fraction(above, below)
    assert length_of(f"{fraction_words(number)} inch") == number * Fraction(127, 5)


@given(st.decimals(0, 9999, places=4, allow_nan=False))
def test_decimals_there_and_back(number: object) -> None:
    assert length_of(f"{decimal_words(str(number))} millimetres") == Fraction(str(number))


@given(st.decimals(0, 999, places=3, allow_nan=False))
def test_figures_and_words_are_read_alike(number: object) -> None:
    assert length_of(f"{number} mm") == length_of(f"{decimal_words(str(number))} millimetres")


@pytest.mark.parametrize(
    ("said", "millimetres"),
    [
        ("one and a half inch", "381/10"),
        ("an inch", None),
        ("half an inch", None),
        ("point oh six two inches", "7874/5000"),
        ("nought point five millimetres", "1/2"),
        ("zero point five millimetres", "1/2"),
        ("one hundred and twenty five millimetres", "125"),
        ("a hundred millimetres", "100"),
        ("twelve hundred millimetres", "1200"),
        ("one thousand and five millimetres", "1005"),
        ("point twenty five inches", "127/20"),
        ("sixty two and a half thou", "127/80"),
        ("thirty one thirty seconds", "3937/160"),
        ("fifteen sixty fourths of an inch", "381/64"),
    ],
)
def test_how_the_shop_says_numbers(said: str, millimetres: str | None) -> None:
    query = GRAMMAR.read(f"{said} in millimetres", "mm")
    if millimetres is None:
        assert isinstance(query, NotUnderstood)
    else:
        assert isinstance(query, Conversion)
        assert magnitude_in(query.amount, "mm") == Fraction(millimetres)


def test_a_fraction_without_a_unit_is_of_an_inch_and_says_so() -> None:
    query = GRAMMAR.read("seven sixteenths in millimetres", "mm")
    assert isinstance(query, Conversion)
    assert query.amount == quantity(Fraction(7, 16), "inch")
    assert query.assumed == ("unit-inch",)


@pytest.mark.parametrize(("units", "unit"), [("mm", "unit-mm"), ("inch", "unit-inch")])
def test_a_decimal_without_a_unit_is_in_the_operators_units(units: str, unit: str) -> None:
    query = GRAMMAR.read("feed point one five", units)
    assert isinstance(query, FeedOf)
    assert query.assumed == (unit,)


def test_zeros_behind_the_point_are_kept() -> None:
    query = GRAMMAR.read("feed point oh oh five", "inch")
    assert isinstance(query, FeedOf)
    assert magnitude_in(query.feed, "inch") == Fraction(5, 1000)


@pytest.mark.parametrize(
    "text",
    ["-5 mm in inches", "1/0 inch in mm", "1/3 inch in mm", "12345 mm in inches", ".1234567 in mm"],
)
def test_figures_without_words_are_refused_by_name(text: str) -> None:
    with pytest.raises(Unreadable) as fault:
        words_of(text)
    assert fault.value.figure in text
    assert isinstance(GRAMMAR.read(text, "mm"), NotUnderstood)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("M12x1.25", "metric twelve by one point two five"),
        ("M12x1.25-6g", "metric twelve by one point two five class six g"),
        ("M12-6H", "metric twelve class internal six h"),
        ("m8", "metric eight"),
        ("1/2-13 UNC", "half inch thirteen u n c"),
        ("1/2-13 UNC-2A LH", "half inch thirteen u n c class two a left hand"),
        ("1 3/4-5 UNC", "one and three quarter inch five u n c"),
        ("#10-32", "number ten thirty two"),
        ("#10-32 UNF-2A", "number ten thirty two u n f class two a"),
        (".190-32", None),
        ("13 TPI", "thirteen t p i"),
        ("11 1/2 tpi", "eleven and a half t p i"),
    ],
)
def test_a_designation_is_read_like_its_spoken_form(written: str, said: str | None) -> None:
    query = GRAMMAR.read(written, "mm")
    if said is None:
        assert isinstance(query, NotUnderstood)
    else:
        assert isinstance(query, ThreadFor), query
        assert query == GRAMMAR.read(said, "mm")


@given(st.text(max_size=60))
def test_no_text_whatever_upsets_the_reader(text: str) -> None:
    GRAMMAR.read(text, "mm")
