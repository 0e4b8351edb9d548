"""The wall chart: that nothing is lost on the page, and that it can be read at 1 m."""

from __future__ import annotations

import io
import math
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from typer.testing import CliRunner, Result

from assistant.charts import page as pages
from assistant.charts.chart import Group, Table
from assistant.charts.contents import LEFT_OUT, charts, wall_chart
from assistant.charts.page import MARGIN, PAPERS, Page, page, paper
from assistant.charts.plain import plain_text
from assistant.charts.printing import DOTS_PER_MM, measure, print_chart, size_words
from assistant.charts.strips import columns, shape, wrap
from assistant.cli import app
from assistant.errors import DeviceError, NoSuchSize, OutOfRange
from profiles.load import find

LATHES = ("heron", "badger", "juniper")


def laid_out(lathe: str, papers: tuple[str, ...] = ("a4", "a3")) -> Page:
    return page(charts(find(lathe)), [paper(name) for name in papers], measure)


@pytest.mark.parametrize("name", LATHES)
def test_each_bundled_lathe_fits_one_a3_page_that_can_be_read_at_one_metre(name: str) -> None:
    found = laid_out(name)
    assert found.paper.name == "A3"
    angle = 2 * math.degrees(math.atan(found.capital_height / 2 / 1000)) * 60
    assert angle >= 16
    assert LEFT_OUT not in wall_chart(find(name)).preface
    assert min(words.size for words in found.words) == found.size


def test_least_and_wanted_capitals_are_those_of_the_angles() -> None:
    # 2 x 1000 mm x tan(8') and tan(10'), by hand.
    assert pages.capital_height(1000, pages.LEAST_MINUTES) == pytest.approx(4.654, abs=0.001)
    assert pages.capital_height(1000, pages.WANTED_MINUTES) == pytest.approx(5.818, abs=0.001)


def box(words: pages.Words) -> tuple[float, float, float, float]:
    wide = words.size * measure(words.text, words.bold)
    return words.x, words.y - 0.72 * words.size, words.x + wide, words.y + 0.22 * words.size


@pytest.mark.parametrize("name", LATHES)
@pytest.mark.parametrize("sheet", ["a3", "tabloid"])
def test_nothing_is_lost_over_the_edge_or_over_other_words(name: str, sheet: str) -> None:
    found = laid_out(name, (sheet,))
    boxes = [(box(words), words.text) for words in found.words if words.text]
    for (left, top, right, bottom), text in boxes:
        assert left >= MARGIN - 0.01, text
        assert top >= MARGIN - 0.01, text
        assert right <= found.paper.width - MARGIN + 0.01, text
        assert bottom <= found.paper.height - MARGIN + 0.5, text
    for index, ((left, top, right, bottom), text) in enumerate(boxes):
        for (left_2, top_2, right_2, bottom_2), other in boxes[index + 1 :]:
            apart = right <= left_2 or right_2 <= left or bottom <= top_2 or bottom_2 <= top
            assert apart, f"{text} / {other}"


@pytest.mark.parametrize("name", LATHES)
def test_every_cell_of_the_tables_is_on_the_page(name: str) -> None:
    chart = wall_chart(find(name))
    cells = Counter(cell for table in chart.tables for row in table.rows for cell in row)
    on_page = Counter(words.text for words in laid_out(name).words)
    assert cells - on_page == Counter()


@pytest.mark.parametrize("name", LATHES)
def test_a_row_of_the_page_is_a_row_of_the_chart(name: str) -> None:
    chart = wall_chart(find(name))
    rows = {row for table in chart.tables for row in table.rows}
    for table in chart.tables:
        for column in columns([shape(table, measure)], 20) or ():
            for line, _ in column.lines:
                texts = tuple(text for text, _, _ in line.words)
                if texts and re.fullmatch(r"≈?[0-9.]+", texts[0]):
                    assert texts in rows


def some_table(rows: int, width: int, groups: int) -> Table:
    each = [
        Group(
            f"Gears {number}" if number else "",
            tuple((str(row), "x" * width) for row in range(rows)),
        )
        for number in range(groups)
    ]
    return Table(
        "Title", ("A note.",), ("Half-nut: keep closed.",), ("figure", "lever"), 1, 1, tuple(each)
    )


TABLES = st.lists(
    st.builds(some_table, st.integers(1, 25), st.integers(1, 20), st.integers(1, 4)),
    min_size=1,
    max_size=4,
)


@given(TABLES, st.floats(4, 60))
@settings(max_examples=100, deadline=None)
def test_columns_hold_every_row_once_in_order_and_are_never_too_high(
    tables: list[Table], height: float
) -> None:
    shapes = [shape(table, measure) for table in tables]
    found = columns(shapes, height)
    if found is None:
        # Not even one piece of some table fits in such a column.
        assert height < 15
        return
    assert all(column.height <= height + 1e-6 for column in found)
    rows = [row for each in shapes for _, rows in each.groups for row in rows]
    lines = [line for column in found for line, _ in column.lines]
    wanted = {id(row) for row in rows}
    assert [id(line) for line in lines if id(line) in wanted] == [id(row) for row in rows]


def test_columns_are_as_narrow_as_can_be() -> None:
    narrow, wide = shape(some_table(4, 2, 1), measure), shape(some_table(12, 20, 1), measure)
    assert (round(narrow.width, 1), round(wide.width, 1)) == (5.3, 12.1)
    # Under one another the narrow ones take one column, parted by the wide one each its own.
    for order, width in (([narrow, narrow, wide], 17.3), ([narrow, wide, narrow], 22.6)):
        found = columns(order, 22)
        assert found is not None
        assert sum(column.width for column in found) == pytest.approx(width, abs=0.1)
    # Where all fit into one column, one column is narrower than two.
    assert len(columns([narrow, wide], 40) or ()) == 1


@given(st.text(alphabet="abc ,", max_size=60), st.floats(2, 20))
@settings(max_examples=100, deadline=None)
def test_wrapping_keeps_every_word(text: str, width: float) -> None:
    assert "".join("".join(wrap(text, width, False, measure)).split()) == "".join(text.split())


def test_no_table_is_parted_where_the_wanted_size_can_be_had_without() -> None:
    found = laid_out("juniper")
    assert found.capital_height >= pages.capital_height(1000, pages.WANTED_MINUTES)
    assert found.read_from >= 1000
    texts = [words.text for words in found.words]
    assert [texts.count(heading) for heading in ("rpm", "half-nut", "inch", "feed")] == [1] * 4


def test_paper_that_is_too_small_is_refused_with_what_to_do() -> None:
    with pytest.raises(OutOfRange) as caught:
        laid_out("heron", ("a4",))
    assert str(caught.value) == (
        "chart of the Heron on A4: capitals would be under 4.7 mm, which cannot be read at 1 m; "
        "take larger paper, or one part at a time with --part"
    )


def test_one_part_fits_a4() -> None:
    for sheet in ("a4", "letter"):
        found = page(charts(find("heron"), ["speeds"]), [paper(sheet)], measure)
        assert found.capital_height >= 5.8


def test_a_lathe_with_too_many_pitches_keeps_the_standard_ones_and_says_so() -> None:
    smaller = pages.Paper("trimmed A3", 405, 287)
    found = page(charts(find("badger")), [smaller], measure)
    texts = {words.text for words in found.words}
    assert LEFT_OUT in " ".join(words.text for words in found.words)
    assert {"13", "1.25", "0.125"} <= texts
    assert texts.isdisjoint({"1.375", "2.25"})
    assert found.capital_height >= pages.capital_height(1000, 16)


@pytest.mark.parametrize("name", LATHES)
def test_a_pdf_is_one_page_of_its_paper_with_its_typeface_inside(name: str, tmp_path: Path) -> None:
    out = tmp_path / "chart.pdf"
    print_chart(charts(find(name)), out)
    raw = out.read_bytes()
    assert raw.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type /Page\b", raw)) == 1
    [media] = re.findall(rb"/MediaBox \[ 0 0 ([0-9.]+) ([0-9.]+) \]", raw)
    assert [round(float(side) / 72 * 25.4) for side in media] == [420, 297]
    assert len(re.findall(rb"/FontFile2 ", raw)) == 2
    again = tmp_path / "again.pdf"
    print_chart(charts(find(name)), again)
    assert again.read_bytes() == raw


@pytest.mark.parametrize("name", LATHES)
def test_a_png_prints_at_full_size_and_its_letters_are_as_high_as_promised(
    name: str, tmp_path: Path
) -> None:
    out = tmp_path / "chart.PNG"
    found = print_chart(charts(find(name)), out)
    picture = Image.open(io.BytesIO(out.read_bytes()))
    assert [round(side / DOTS_PER_MM) for side in picture.size] == [420, 297]
    assert picture.info["dpi"] == pytest.approx((203.2, 203.2), abs=0.01)
    # The capital of a figure is as high as any: measured on the first digit of the table of speeds.
    speed = next(
        words for words in found.words if words.text == wall_chart(find(name)).tables[0].rows[0][0]
    )
    left = int(speed.x * DOTS_PER_MM)
    size = 0.8 * speed.size * DOTS_PER_MM
    top, baseline = int(speed.y * DOTS_PER_MM - size), int(speed.y * DOTS_PER_MM + 2)
    letter = picture.crop((left, top, int(left + size * measure(speed.text[0], True)), baseline))
    dark = [
        y
        for y in range(letter.height)
        if letter.crop((0, y, letter.width, y + 1)).getextrema()[0] < 100
    ]
    height = (dark[-1] - dark[0] + 1) / DOTS_PER_MM
    assert height == pytest.approx(found.capital_height, abs=0.3)
    assert height >= pages.capital_height(1000, 16) - 1 / DOTS_PER_MM


def test_what_is_printed_is_told_in_words() -> None:
    assert re.fullmatch(
        r"A3 lying, capitals \d\.\d mm high \(\d\d minutes of arc at 1 m\); print it at full size",
        size_words(laid_out("heron")),
    )


@pytest.mark.parametrize("name", ["chart.doc", "chart", "chart.pdf.txt", ".pdf"])
def test_another_ending_is_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(NoSuchSize, match=r"its name must end in \.pdf or \.png"):
        print_chart(charts(find("heron")), tmp_path / name)


@pytest.mark.parametrize("name", ["none/chart.pdf", "folder.png"])
def test_a_place_that_cannot_be_written_is_refused(name: str, tmp_path: Path) -> None:
    (tmp_path / "folder.png").mkdir()
    with pytest.raises(DeviceError, match="cannot be written"):
        print_chart(charts(find("juniper")), tmp_path / name)


def test_a_letter_that_the_typeface_lacks_is_refused(tmp_path: Path) -> None:
    heron = replace(find("heron"), description="車床")
    with pytest.raises(
        OutOfRange, match='letter "車" in "車床": the chart\'s typeface does not have it'
    ):
        print_chart(charts(heron), tmp_path / "chart.pdf")


def command(*arguments: str, typed: str | bytes | None = None) -> Result:
    return CliRunner().invoke(app, list(arguments), input=typed)


def test_the_command_shows_text_or_writes_a_file(tmp_path: Path) -> None:
    shown = command("chart", "heron")
    assert shown.exit_code == 0
    assert shown.stdout == plain_text(wall_chart(find("heron")))
    out = tmp_path / "heron.pdf"
    told = command("chart", "heron", "--out", str(out))
    assert told.exit_code == 0
    assert out.read_bytes().startswith(b"%PDF-")
    assert "A3 lying" in told.stdout


def test_the_command_takes_parts() -> None:
    shown = command("chart", "heron", "--part", "speeds", "--part", "feeds")
    assert "Spindle speeds" in shown.stdout
    assert "Feeds, in/turn" in shown.stdout
    assert "Threads" not in shown.stdout


@pytest.mark.parametrize(
    "arguments",
    [
        ("chart",),
        ("chart", "heron", "--out", "x.doc"),
        ("chart", "heron", "--paper", "a33"),
        ("chart", "heron", "--part", "x"),
    ],
)
def test_wrong_usage_ends_with_status_2(arguments: tuple[str, ...]) -> None:
    assert command(*arguments).exit_code == 2


def test_papers_lie_on_their_long_side() -> None:
    assert all(sheet.width > sheet.height for sheet in PAPERS.values())


def test_unknown_lathes_and_unwritable_places_are_one_sentence(tmp_path: Path) -> None:
    unknown = command("chart", "herron")
    assert unknown.exit_code == 1
    assert str(unknown.exception) == "herron: is no lathe that is known here; the nearest is heron"
    nowhere = command("chart", "heron", "--out", str(tmp_path / "none" / "x.pdf"))
    assert nowhere.exit_code == 1
    assert "cannot be written" in str(nowhere.exception)
