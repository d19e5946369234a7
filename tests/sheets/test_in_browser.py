"""A browser measures the drawing and prints the templates as the files say. Run by hand:

    WORKSHOP_BROWSER=1 python -m pytest tests/sheets/test_in_browser.py -n 0

It needs a Chromium on the path, whose name WORKSHOP_CHROMIUM may give.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.examples import EXAMPLES, example
from tests.sheets.measuring import NOW
from workshop.layout.as_placed import casting_as_placed
from workshop.layout.troubles import gaps
from workshop.sheets.drawing import drawing
from workshop.sheets.paper import drawing_paper, template_paper
from workshop.sheets.templates import templates

CHROMIUM = shutil.which(os.environ.get("WORKSHOP_CHROMIUM", "chromium"))
POINTS = 72 / 25.4
"""Points of a PDF in a millimetre."""

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(
        os.environ.get("WORKSHOP_BROWSER") != "1" or CHROMIUM is None,
        reason="a browser is asked only with WORKSHOP_BROWSER=1 and a Chromium on the path",
    ),
]

MEASURE = """
<script>
const view = document.querySelector('[data-view="plan"][data-casting="seat"]');
const over = Number(view.getAttribute('data-over'));
const box = (name) => view.querySelector(name).getBBox();
const form = box('[data-kind="form"]');
const gap = view.querySelector('[data-measures="gap"] [data-kind="dimension-line"]');
const bar = document.querySelector('[data-kind="scale-bar"]');
const outside = [...document.querySelectorAll('[data-sheet]')].flatMap((sheet) => {
    const paper = sheet.querySelector('[data-kind="page"]').getBoundingClientRect();
    return [...sheet.querySelectorAll('text')].filter((text) => {
        const held = text.getBoundingClientRect();
        return held.left < paper.left || held.right > paper.right
            || held.top < paper.top || held.bottom > paper.bottom;
    }).map((text) => text.textContent);
});
const shown = [...document.querySelectorAll('text')].map((text) => [text, text.getBoundingClientRect()]);
const touching = shown.flatMap(([one, a], number) => shown.slice(number + 1).filter(([two, b]) =>
    a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 4 && b.top < a.bottom - 4
).map(([two]) => one.textContent + ' / ' + two.textContent));
document.title = JSON.stringify({
    length: form.width * over, width: form.height * over,
    gap: gap.getTotalLength() * over, bar: bar.getTotalLength(),
    pixels: document.querySelector('svg').getBoundingClientRect().width, outside, touching,
});
document.body.textContent = document.title;
</script>
"""


def browse(*arguments: str) -> str:
    """What a headless browser prints."""
    assert CHROMIUM is not None
    told = subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", *arguments],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    return told.stdout


def test_a_browser_measures_what_the_layout_says(tmp_path: Path) -> None:
    bench = example("tarn-bench")
    svg = drawing(bench, NOW).decode().partition("?>")[2]
    page = tmp_path / "drawing.html"
    page.write_text(f"<!DOCTYPE html><meta charset=utf-8><body>{svg}{MEASURE}", encoding="utf-8")
    told = browse("--dump-dom", page.as_uri())
    found = json.loads(re.sub(r"<[^>]*>", "", told[told.index("<body") :]).strip())
    held = casting_as_placed(bench.file, "seat")
    assert held is not None and held.length is not None and held.width is not None
    (gap,) = (one for one in gaps(held) if one.wall is None)
    assert found["length"] == pytest.approx(held.length * 1000, abs=0.1)
    assert found["width"] == pytest.approx(held.width * 1000, abs=0.1)
    assert found["gap"] == pytest.approx(gap.width * 1000, abs=0.1)
    assert found["bar"] == pytest.approx(50, abs=0.01)
    # CSS has 96 pixels in an inch.
    assert found["pixels"] == pytest.approx(420 / 25.4 * 96, abs=0.1)
    assert found["outside"] == []
    assert found["touching"] == []


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("kind", ["drawing", "templates"])
def test_a_browser_prints_each_sheet_on_a_page_of_its_size(kind: str, name: str, tmp_path: Path) -> None:
    project = example(name)
    if kind == "drawing":
        made, paper, file = drawing(project, NOW), drawing_paper(project.units), tmp_path / "drawing.svg"
        count = made.count(b"data-sheet=")
    else:
        made, paper, file = (
            templates(project, NOW),
            template_paper(project.units),
            tmp_path / "templates.html",
        )
        count = made.count(b"<section ")
    file.write_bytes(made)
    out = tmp_path / "printed.pdf"
    browse("--no-pdf-header-footer", f"--print-to-pdf={out}", file.as_uri())
    pages = re.findall(rb"/MediaBox *\[0 0 ([\d.]+) ([\d.]+)\]", out.read_bytes())
    assert len(pages) == count
    for wide, high in pages:
        assert float(wide) == pytest.approx(paper.width * POINTS, abs=1)
        assert float(high) == pytest.approx(paper.height * POINTS, abs=1)
