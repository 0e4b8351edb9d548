"""The pictures: true to their figures, inside their boxes, their words apart and large enough."""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.answer import Answer, Engage, Ladder, Value
from display.cone import Cone
from display.contact_examples import COMPOUND, DIAL, FIT, FORM, GEARS, PASS, TAPER
from display.dial import Dial
from display.gear_train import Train
from display.groove import Groove
from display.illustration import pictures_of
from display.ladder import Ladder as LadderPicture
from display.page import Draft, Shape
from display.picture import Fonts, Picture, arrowhead, dashed, sizes
from display.swing import Swing
from display.tolerance import Bars, Part
from tests.display.shapes import all_inside, extent

FONTS: Fonts = (20.0, 48.0)
FRACTION = st.floats(0.05, 3.0)


def measure(text: str, size: float, bold: bool) -> float:
    return len(text) * size * (0.7 if bold else 0.6)


def of(shapes: Draft, kind: str, colour: str) -> list[Shape]:
    return [each for each in shapes.shapes if each.kind == kind and each.colour == colour]


words = st.text("0123456789.m ", min_size=1, max_size=9).map(lambda text: text.strip() or "0")
ladders = st.lists(st.tuples(FRACTION, words), min_size=1, max_size=30).flatmap(
    lambda rungs: st.integers(0, len(rungs)).map(
        lambda present: LadderPicture(
            tuple(word for _, word in rungs),
            tuple(sum(each for each, _ in rungs[: at + 1]) for at in range(len(rungs))),
            present,
        )
    )
)
swings = st.builds(Swing, st.floats(0.5, 75), words, st.booleans())
grooves = st.builds(
    lambda angle, depth, share, is_round, labels: Groove(
        angle, depth, share * depth, is_round, labels
    ),
    st.floats(10, 90), FRACTION, st.floats(0, 0.4), st.booleans(),
    st.tuples(words, words, words | st.just("")),
)  # fmt: skip
cones = st.builds(
    Cone, st.floats(0.1, 60), words, words | st.just(""), words | st.just(""), words | st.just("")
)
parts = st.tuples(st.floats(-0.2, 0.2), st.floats(0.001, 0.2), words, words, st.booleans()).map(
    lambda each: Part("shaft", each[0] + each[1], each[0], each[2], each[3], each[4])
)
bars = st.lists(parts, min_size=1, max_size=2).map(lambda found: Bars(tuple(found), "0 mm"))
teeth = st.integers(16, 127)
trains = st.one_of(
    st.builds(lambda a, b: Train((a,), (b,)), teeth, teeth),
    st.builds(lambda a, b, idler: Train((a,), (b,), idler), teeth, teeth, teeth),
    st.builds(lambda a, b, c, d: Train((a, c), (b, d)), teeth, teeth, teeth, teeth),
)
pictures = st.one_of(ladders, swings, grooves, cones, bars, trains)


@given(pictures, st.floats(150, 1400), st.floats(120, 900))
def test_a_picture_stays_in_its_box_with_its_words_apart_and_large(
    picture: Picture, width: float, height: float
) -> None:
    draft = picture.fitted(width, height, FONTS, measure)
    if draft is None:
        return
    assert all_inside(draft, width, height, 1.0)
    assert all(FONTS[0] <= word.size <= FONTS[1] for word in draft.words)
    for one, other in combinations(draft.words, 2):
        assert not one.rect.overlaps(other.rect), (one, other)


@given(pictures)
def test_with_room_enough_every_picture_is_drawn_and_in_larger_words_than_with_little(
    picture: Picture,
) -> None:
    large = picture.fitted(4000, 3000, FONTS, measure)
    assert large is not None
    small = picture.fitted(500, 375, FONTS, measure)
    if small is not None:
        assert max(w.size for w in small.words) <= max(w.size for w in large.words)


@given(pictures)
def test_no_picture_is_drawn_where_not_even_a_word_fits(picture: Picture) -> None:
    assert picture.fitted(15, 15, FONTS, measure) is None


@given(ladders)
def test_the_pass_to_take_is_lit_and_no_other(ladder: LadderPicture) -> None:
    draft = ladder.fitted(2000, 1500, FONTS, measure)
    assert draft is not None
    lit = [word.text for word in draft.words if word.behind == "accent"]
    count = len(ladder.readings)
    assert lit == ([ladder.readings[ladder.present]] if ladder.present < count else [])
    assert len(of(draft, "pill", "accent")) == len(lit)


@given(ladders, st.integers(3, 8))
def test_the_window_holds_the_present_pass_and_the_one_before(
    ladder: LadderPicture, rungs: int
) -> None:
    window = ladder.window(rungs)
    assert len(window) == min(rungs, len(ladder.readings))
    if ladder.present < len(ladder.readings):
        assert ladder.present in window
    if ladder.present > 0:
        assert ladder.present - 1 in window


@given(ladders)
def test_the_bar_is_as_deep_as_the_tool_to_scale(ladder: LadderPicture) -> None:
    draft = ladder.fitted(2000, 1500, FONTS, measure)
    assert draft is not None
    whole, reached = of(draft, "box", "rule")[0], of(draft, "box", "quiet")[0]
    depth = ladder.depths[ladder.present - 1] if ladder.present else 0.0
    assert reached.numbers[3] / whole.numbers[3] == pytest.approx(depth / max(ladder.depths))


def test_what_is_cut_now_differs_from_what_was_cut_by_its_width() -> None:
    draft = LadderPicture(("1", "2", "3"), (1.0, 2.0, 3.0), 1).fitted(600, 600, FONTS, measure)
    assert draft is not None
    now, was = of(draft, "box", "accent")[0], of(draft, "box", "quiet")[0]
    assert now.numbers[2] >= 1.3 * was.numbers[2]


def test_a_taken_pass_and_a_coming_one_differ_by_more_than_colour() -> None:
    draft = LadderPicture(("1", "2", "3"), (1.0, 2.0, 3.0), 1).fitted(600, 600, FONTS, measure)
    assert draft is not None
    signs = [each.kind for each in draft.shapes if each.kind in ("line", "fan", "ring")]
    assert signs == ["line", "fan", "ring"]


@given(swings)
def test_the_slide_stands_at_its_angle_from_the_cross_slide(swing: Swing) -> None:
    draft = swing.fitted(2000, 1500, FONTS, measure)
    assert draft is not None
    (slide,) = of(draft, "line", "accent")
    x, y, end_x, end_y = slide.numbers
    assert math.degrees(math.atan2(abs(end_x - x), end_y - y)) == pytest.approx(swing.angle)
    assert (end_x > x) == swing.to_tailstock
    (arc,) = of(draft, "arc", "ink")
    assert abs(arc.numbers[4] - arc.numbers[3]) == pytest.approx(swing.angle)


@given(swings)
def test_the_angle_is_written_on_the_side_away_from_the_slide(swing: Swing) -> None:
    draft = swing.fitted(2000, 1500, FONTS, measure)
    assert draft is not None
    tool = of(draft, "line", "accent")[0].numbers[0]
    label = next(word for word in draft.words if word.text == swing.label)
    assert (label.rect.right < tool) == swing.to_tailstock


@given(grooves)
def test_the_flanks_of_the_groove_enclose_its_angle(groove: Groove) -> None:
    (x, y), (top_x, top_y) = groove.half_profile()[-2:]
    assert math.degrees(math.atan2(top_x - x, y - top_y)) == pytest.approx(groove.angle / 2)
    assert groove.half_profile()[0][1] == pytest.approx(groove.depth)
    assert all(one[0] <= other[0] for one, other in pairwise(groove.half_profile()))


@pytest.mark.parametrize(
    "groove",
    [
        Groove(60, 0, 0.1, False, ("", "", "")),
        Groove(0, 1, 0.1, False, ("", "", "")),
        Groove(60, 0.1, 0.5, True, ("", "", "")),
        Groove(60, 0.1, 0.5, False, ("", "", "")),
    ],
)
def test_a_groove_that_cannot_be_is_not_drawn(groove: Groove) -> None:
    assert groove.fitted(2000, 1500, FONTS, measure) is None


def test_a_round_root_meets_the_flanks_without_a_corner() -> None:
    """Root of radius 1 in 60 degrees: tangent at r cos 30 aside, r (1 - sin 30) over the root."""
    groove = Groove(60, 5, 1, True, ("", "", ""))
    across, deep = groove.half_profile()[-2]
    assert across == pytest.approx(math.cos(math.radians(30)))
    assert groove.depth - deep == pytest.approx(0.5)


def test_width_of_a_sixty_degree_groove_is_its_depth_over_the_root_of_three() -> None:
    """Half of a sharp 60 degree groove 3 deep: 3 tan 30 = 1.732 (trigonometry)."""
    assert Groove(60, 3, 0, False, ("", "", "")).half_profile()[-1][0] == pytest.approx(1.7320508)


@given(cones)
def test_a_taper_is_drawn_at_its_angle_or_steeper_where_it_is_slender(cone: Cone) -> None:
    long, large, small = cone.body(2000, 1500, 20)
    drawn = math.degrees(math.atan2(large - small, long))
    assert drawn == pytest.approx(max(7.0, cone.half_angle))
    assert small > 0


def test_the_large_end_is_named_left_of_the_small_one() -> None:
    for width in (420, 700, 2000):
        draft = Cone(1.4, "1.4°", "23.825", "19.761", "81").fitted(width, 600, FONTS, measure)
        assert draft is not None
        large, small = (
            next(word for word in draft.words if word.text == text) for text in ("23.825", "19.761")
        )
        assert large.rect.right < small.rect.x
        assert large.rect.y == small.rect.y


@given(bars)
def test_bars_stand_over_the_zero_line_to_one_scale(bar: Bars) -> None:
    draft = bar.fitted(2000, 4000, FONTS, measure)
    assert draft is not None
    (line,) = of(draft, "line", "ink")
    zero = line.numbers[1]
    scales = []
    for part, box in zip(bar.parts, of(draft, "box", "accent"), strict=True):
        _, top, _, tall = box.numbers
        if part.upper - part.lower > 0.01:
            scales.append(tall / (part.upper - part.lower))
            assert (zero - top) == pytest.approx(part.upper * scales[-1], abs=1e-6)
    assert all(scale == pytest.approx(scales[0], rel=1e-6) for scale in scales)


def test_a_hole_is_an_outline_and_a_shaft_is_full() -> None:
    hole, shaft = (Part("x", 0.1, 0.0, "a", "b", inner) for inner in (True, False))
    counts = []
    for part in (hole, shaft):
        draft = Bars((part,), "0").fitted(600, 600, FONTS, measure)
        assert draft is not None
        counts.append(len(of(draft, "box", "ground")))
    assert counts == [1, 0]


def test_a_tolerance_of_nothing_is_no_picture() -> None:
    assert (
        Bars((Part("x", 0.0, 0.0, "0", "0", True),), "0").fitted(900, 900, FONTS, measure) is None
    )


@given(trains)
def test_gears_mesh_in_their_plane_and_share_a_stud_with_the_next(train: Train) -> None:
    wide = train.gear_width(20, measure)
    places = train.places(20, 0.5, wide)
    assert [place[0] for place in places] == [t for plane in train.columns() for t in plane]
    for (_, x, y, tall), (_, after, top, height) in pairwise(places):
        if after == x:
            assert 0 < top - (y + tall) < 0.2 * 20
        else:
            assert top + height / 2 == pytest.approx(y + tall / 2)


@given(trains)
def test_every_gear_is_named_by_its_teeth_once(train: Train) -> None:
    draft = train.fitted(2000, 1500, FONTS, measure)
    assert draft is not None
    numbers = [word.text for word in draft.words if word.text.isdigit()]
    assert numbers == [str(teeth) for plane in train.columns() for teeth in plane]


@given(trains)
def test_of_two_gears_the_one_with_more_teeth_is_not_the_smaller(train: Train) -> None:
    places = train.places(20, 1.0, 40)
    for (teeth, _, _, tall), (others, _, _, height) in combinations(places, 2):
        assert (teeth - others) * (tall - height) >= 0


@pytest.mark.parametrize(
    ("answer", "kinds"),
    [
        (COMPOUND, (Swing,)),
        (FORM, (Groove,)),
        (TAPER, (Cone,)),
        (FIT, (Bars,)),
        (GEARS, (Train,)),
        (PASS, (LadderPicture, Dial)),
        (Answer("engage", engage=Engage(False, all_marks=DIAL)), (Dial,)),
        (Answer("speed"), ()),
        (Answer("passes", ladder=Ladder((), (), 0)), ()),
        (Answer("passes", ladder=Ladder(("1",), (), 0)), ()),
        (Answer("passes", {"compound_angle": Value(29.5, "degree")}), ()),
    ],
)
def test_an_answer_brings_the_pictures_of_its_figures(
    answer: Answer, kinds: tuple[type, ...]
) -> None:
    assert tuple(type(picture) for picture in pictures_of(answer, "mm")) == kinds


def test_figures_on_a_picture_are_rounded_as_in_the_rows() -> None:
    (cone,) = pictures_of(TAPER, "inch")
    assert isinstance(cone, Cone)
    assert (cone.angle_label, cone.large, cone.length) == ("1.44°", "0.9380 in", "3.1875 in")
    (bar,) = pictures_of(FIT, "mm")
    assert isinstance(bar, Bars)
    assert [part.upper_label for part in bar.parts] == ["+0.021", "−0.007"]
    assert [part.lower_label for part in bar.parts] == ["0.000", "−0.020"]


def test_the_idler_between_a_single_pair_is_drawn() -> None:
    answer = Answer("gears", gears=(((40,), (80,)),), texts={"idler": "63"})
    (train,) = pictures_of(answer, "mm")
    assert isinstance(train, Train)
    assert train.columns() == [(40, 63, 80)]


def test_sizes_are_tried_from_the_largest_to_the_smallest() -> None:
    tried = list(sizes((20.0, 90.0)))
    assert tried[0] == 90
    assert tried[-1] == 20
    assert tried == sorted(tried, reverse=True)


def test_dashes_stay_on_their_line() -> None:
    for shape in dashed(0, 0, 30, 40, 5, "quiet", 2):
        box = extent(shape)
        assert box.right <= 30.001
        assert box.bottom <= 40.001
        assert box.x * 4 == pytest.approx(box.y * 3)


def test_an_arrowhead_has_its_tip_where_it_points() -> None:
    box = extent(arrowhead(10, 10, (0, 1), 4, "ink"))
    assert (box.y, box.bottom) == (6, 10)
