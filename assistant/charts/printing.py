"""A chart as a PDF or PNG file of one page."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from assistant.charts.chart import Chart
from assistant.charts.page import DISTANCE, USUAL_PAPERS, Page, page, paper
from assistant.errors import DeviceError, NoSuchSize, OutOfRange
from display.legibility import capital_height

DOTS_PER_MM: Final = 8
"""Of a PNG: 203 dots an inch."""
MM_PER_INCH: Final = 25.4
POINTS_PER_MM: Final = 72 / MM_PER_INCH
FACES: Final = {False: "RobotoCondensed-Regular", True: "RobotoCondensed-Bold"}
"""Bold or not -> typeface."""


def print_chart(charts: Sequence[Chart], out: Path, paper_name: str | None = None) -> Page:
    """Writes the first of `charts` that can be read to `out`, and gives the page it was laid out on.

    charts     : the fullest first
    out        : a .pdf or .png
    paper_name : of PAPERS; None takes the first of USUAL_PAPERS on which it can be read
    Raises     : NoSuchSize for another ending or paper; OutOfRange where the chart cannot be read
                 on the paper, or holds a letter that the typeface lacks; DeviceError where the
                 file cannot be written
    """
    draw = _DRAWN_BY.get(out.suffix.lower())
    if draw is None:
        endings = " or ".join(_DRAWN_BY)
        raise NoSuchSize("file", out.name or str(out), f"its name must end in {endings}")
    for chart in charts:
        _check_letters(chart)
    names = USUAL_PAPERS if paper_name is None else (paper_name,)
    laid_out = page(charts, [paper(name) for name in names], measure)
    drawn = draw(laid_out)
    try:
        out.write_bytes(drawn)
    except OSError as fault:
        raise DeviceError(
            "file",
            f"{out} cannot be written ({fault.strerror})",
            "name a file in a folder of yours",
        ) from fault
    return laid_out


def size_words(laid_out: Page) -> str:
    """How large the letters are, for whoever prints the page."""
    minutes = laid_out.capital_height / capital_height(DISTANCE, 1)
    return (
        f"{laid_out.paper.name} lying, capitals {laid_out.capital_height:.1f} mm high "
        f"({minutes:.0f} minutes of arc at 1 m); print it at full size"
    )


def _bytes(bold: bool) -> bytes:
    return files("assistant.charts").joinpath("fonts", f"{FACES[bold]}.ttf").read_bytes()


@cache
def _face(bold: bool) -> Any:
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    face = TTFont(FACES[bold], io.BytesIO(_bytes(bold)))
    registerFont(face)
    return face


@cache
def measure(text: str, bold: bool) -> float:
    """Width of `text` in parts of the font size.

    >>> measure("0", False)
    0.494
    """
    return float(_face(bold).stringWidth(text, 1))


def _check_letters(chart: Chart) -> None:
    texts = [chart.title, chart.subtitle, *chart.cautions, *chart.preface, chart.foot]
    for table in chart.tables:
        texts += [table.title, *table.notes, *table.repeated, *table.heading]
        texts += [cell for row in table.rows for cell in row]
    known = _face(False).face.charToGlyph.keys() & _face(True).face.charToGlyph.keys()
    for text in texts:
        lacking = [letter for letter in text if ord(letter) not in known]
        if lacking:
            raise OutOfRange(
                "letter", f'"{lacking[0]}" in "{text}"', "the chart's typeface does not have it"
            )


def pdf(laid_out: Page) -> bytes:
    """The page as a PDF, its typeface inside; the same bytes for the same page."""
    from reportlab.pdfgen.canvas import Canvas

    _face(False), _face(True)
    sheet = laid_out.paper
    file = io.BytesIO()
    canvas = Canvas(file, (sheet.width * POINTS_PER_MM, sheet.height * POINTS_PER_MM), invariant=1)
    canvas.setTitle(f"{laid_out.title}: wall chart")
    canvas.setCreator("Swarfside")
    canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
    for bar in laid_out.bars:
        canvas.setFillGray(bar.shade)
        canvas.rect(bar.x, sheet.height - bar.y - bar.height, bar.width, bar.height, 0, 1)
    for words in laid_out.words:
        canvas.setFillGray(words.shade)
        canvas.setFont(FACES[words.bold], words.size)
        canvas.drawString(words.x, sheet.height - words.y, words.text)
    canvas.showPage()
    canvas.save()
    return file.getvalue()


def png(laid_out: Page) -> bytes:
    """The page as a PNG that prints at its true size."""
    from PIL import Image, ImageDraw

    def dots(length: float) -> int:
        return round(length * DOTS_PER_MM)

    picture = Image.new("L", (dots(laid_out.paper.width), dots(laid_out.paper.height)), 255)
    draw = ImageDraw.Draw(picture)
    for bar in laid_out.bars:
        right, below = dots(bar.x + bar.width), dots(bar.y + bar.height)
        corner = dots(bar.x), dots(bar.y), max(right - 1, dots(bar.x)), max(below - 1, dots(bar.y))
        draw.rectangle(corner, fill=round(255 * bar.shade))
    for words in laid_out.words:
        font = _picture_face(words.bold, words.size * DOTS_PER_MM)
        place = words.x * DOTS_PER_MM, words.y * DOTS_PER_MM
        draw.text(place, words.text, fill=round(255 * words.shade), font=font, anchor="ls")
    file = io.BytesIO()
    picture.save(file, "PNG", dpi=(DOTS_PER_MM * MM_PER_INCH, DOTS_PER_MM * MM_PER_INCH))
    return file.getvalue()


@cache
def _picture_face(bold: bool, size: float) -> Any:
    from PIL import ImageFont

    engine = ImageFont.Layout.BASIC
    return ImageFont.truetype(io.BytesIO(_bytes(bold)), size, layout_engine=engine)


_DRAWN_BY: Final[dict[str, Callable[[Page], bytes]]] = {".pdf": pdf, ".png": png}
"""Ending of the file's name -> what draws it."""
