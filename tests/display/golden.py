"""The screens as text: role, words, font size, colour of everything that can be read.

`python -m tests.display.golden DIR` writes what is shown now into DIR, to be looked at and, where
the change is meant, copied by hand into tests/golden.
"""

from __future__ import annotations

import sys
from pathlib import Path

from display.contact_sheet import CONTENTS, EARS, STANDS, Stand
from display.render import pages
from display.theme import DARK


def screens(stand: Stand) -> str:
    """All pages of the contact sheet on `stand`, dark, as text."""
    lines = []
    for name, content in CONTENTS.items():
        ear = EARS.get(name, "listening")
        found = pages(content, stand.size, stand.distance, stand.screen_height, ear)
        for number, page in enumerate(found, start=1):
            lines += ["", f"{name}, page {number} of {len(found)}"]
            scheme = DARK.in_alarm() if page.alarm else DARK.calm() if page.calm else DARK
            for words in page.words:
                text = words.text.replace("\n", " / ")
                weight = "bold" if words.bold else "regular"
                colours = f"{scheme.colour(words.colour)} on {scheme.colour(words.behind)}"
                lines.append(f"  {words.role:9} {text}  ({words.size:g} px {weight}, {colours})")
    return "\n".join([f"{stand.name}: {stand.size[0]} x {stand.size[1]} px", *lines]) + "\n"


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for each in STANDS:
        (folder / f"screen-{each.name}.txt").write_text(screens(each), encoding="utf-8")
