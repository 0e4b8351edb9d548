"""What to take off to reach a size, and warm work."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.core.dial_types import SlideDial
from assistant.core.fits import limits
from assistant.core.general_tolerances import general_limits
from assistant.core.to_size import (
    SizeState,
    Target,
    dial_move,
    passes,
    plain_target,
    target_within,
    to_size,
)
from assistant.errors import OutOfRange
from tests.check_values import check_rows

sizes = st.fractions(min_value=1, max_value=500, max_denominator=1000)
widths = st.fractions(min_value=0, max_value=Fraction(1, 2), max_denominator=1000)
dials = st.builds(
    SlideDial,
    division=st.sampled_from([Fraction(1, 100), Fraction(1, 50), Fraction(127, 5000)]),
    divisions=st.sampled_from([100, 125, 200]),
    reads=st.sampled_from(["diameter", "radius"]),
)


@pytest.mark.parametrize("row", check_rows("to_size.csv"))
def test_worked_examples(row: dict[str, str]) -> None:
    wanted = Fraction(row["wanted_mm"])
    target = target_within(limits(wanted, row["zone"])) if row["zone"] else plain_target(wanted)
    cut = to_size(Fraction(row["measured_mm"]), target, row["internal"] == "yes")
    assert cut.on_diameter == Fraction(row["expected_on_diameter"])
    assert cut.per_side == cut.on_diameter / 2
    dial = SlideDial(Fraction(row["division_mm"]), 100, row["reads"])
    assert dial_move(cut, dial).divisions == Fraction(row["expected_divisions"])


@settings(deadline=None)
@given(sizes, sizes, widths, st.booleans(), dials)
def test_the_dial_never_takes_off_too_much(
    measured: Fraction, wanted: Fraction, width: Fraction, internal: bool, dial: SlideDial
) -> None:
    target = Target(wanted - width / 2, wanted + width / 2, wanted)
    cut = to_size(measured, target, internal)
    move = dial_move(cut, dial)
    if cut.state is not SizeState.TAKE_OFF:
        assert cut.on_diameter == 0 == move.whole_divisions
        return
    step = dial.division if dial.reads == "diameter" else 2 * dial.division
    removed = move.whole_divisions * step
    assert move.size == (measured + removed if internal else measured - removed)
    assert move.size <= target.maximum if internal else move.size >= target.minimum
    assert abs(move.size - target.aim) < step
    assert move.turns * dial.divisions + move.rest == move.whole_divisions
    assert 0 <= move.rest < dial.divisions


@settings(deadline=None)
@given(sizes, sizes)
def test_a_bore_counts_from_the_other_side(measured: Fraction, wanted: Fraction) -> None:
    outside = to_size(measured, plain_target(wanted))
    inside = to_size(wanted, plain_target(measured), internal=True)
    assert outside.on_diameter == inside.on_diameter
    assert outside.past_by == inside.past_by
    assert outside.state is inside.state


@settings(deadline=None)
@given(
    st.fractions(min_value=Fraction(1, 100), max_value=20, max_denominator=100),
    st.fractions(min_value=Fraction(1, 20), max_value=5, max_denominator=100),
)
def test_passes_add_up(depth: Fraction, per_pass: Fraction) -> None:
    found = passes(depth, per_pass)
    assert (found.count - 1) * found.full_depth + found.last_depth == depth
    assert found.even_depth * found.count == depth
    assert 0 < found.last_depth <= per_pass
    assert found.even_depth <= per_pass


def test_an_undersize_shaft_is_told_and_nothing_is_taken_off() -> None:
    cut = to_size(Fraction(2997, 100), target_within(limits(30, "h7")))
    assert cut.state is SizeState.PAST_SIZE
    assert cut.past_by == Fraction(9, 1000)
    assert cut.on_diameter == 0


def test_a_shaft_within_its_limits_is_left_alone() -> None:
    cut = to_size(Fraction(29995, 1000), target_within(limits(30, "h7")))
    assert cut.state is SizeState.WITHIN_LIMITS


def test_a_bore_too_large_is_past_size() -> None:
    cut = to_size(Fraction(3003, 100), target_within(limits(30, "H7")), internal=True)
    assert cut.state is SizeState.PAST_SIZE
    assert cut.past_by == Fraction(9, 1000)


def test_the_nearest_division_is_taken_only_within_the_limits() -> None:
    dial = SlideDial(Fraction(1, 50), 100, "diameter")
    wide = to_size(31, Target(Fraction(2996, 100), 30, Fraction(2998, 100) + Fraction(1, 1000)))
    assert dial_move(wide, dial).whole_divisions == 51
    tight = to_size(31, plain_target(Fraction(29981, 1000)))
    assert dial_move(tight, dial).whole_divisions == 50


def test_general_tolerances_serve_as_a_target() -> None:
    assert target_within(general_limits(30, "m")).minimum == Fraction(298, 10)


@pytest.mark.parametrize("size", [0, -1])
def test_sizes_of_nothing_are_refused(size: int) -> None:
    with pytest.raises(OutOfRange, match="wanted size"):
        plain_target(size)
    with pytest.raises(OutOfRange, match="measured size"):
        to_size(size, plain_target(30))


def test_absurd_passes_and_dials_are_refused() -> None:
    with pytest.raises(OutOfRange, match="depth of cut per pass 0 mm"):
        passes(Fraction(1), Fraction(0))
    with pytest.raises(OutOfRange, match="depth -1 mm"):
        passes(Fraction(-1), Fraction(1))
    with pytest.raises(OutOfRange, match="at most 1000"):
        passes(Fraction(20), Fraction(1, 100))
    cut = to_size(31, plain_target(30))
    with pytest.raises(OutOfRange, match="divisions of more than 0 mm"):
        dial_move(cut, SlideDial(Fraction(0), 100, "radius"))
    with pytest.raises(OutOfRange, match="diameter or radius"):
        dial_move(cut, SlideDial(Fraction(1, 20), 100, "both"))
