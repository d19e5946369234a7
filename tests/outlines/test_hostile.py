"""Files made to hang or mislead a reader, or cut short on their way, are refused fast in one sentence."""

import io
import time
from collections.abc import Callable

import pytest
from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import new
from hypothesis import given
from hypothesis import strategies as st

from workshop.outlines import OutlineError, read_outlines

HEAD = b'<svg xmlns="http://www.w3.org/2000/svg" width="9cm" height="9cm" viewBox="0 0 90 90">'


def svg(inside: bytes) -> bytes:
    return HEAD + inside + b"</svg>"


def dxf(draw: Callable[[Document], object]) -> bytes:
    document = new("R2010", units=4)
    draw(document)
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode()


def use_bomb() -> bytes:
    levels = (b'<g id="a%d">%s</g>' % (n + 1, b'<use href="#a%d"/>' % n * 10) for n in range(9))
    return svg(b'<rect id="a0" width="9" height="9"/><defs>' + b"".join(levels) + b'</defs><use href="#a9"/>')


def block_bomb(document: Document) -> None:
    document.blocks.new("B0").add_circle((0, 0), 5)
    for level in range(9):
        block = document.blocks.new(f"B{level + 1}")
        for copy in range(10):
            block.add_blockref(f"B{level}", (copy, 0))
    document.modelspace().add_blockref("B9", (0, 0))


def block_in_itself(document: Document) -> None:
    document.blocks.new("B0").add_blockref("B0", (1, 1))
    document.modelspace().add_blockref("B0", (0, 0))


def block_rows(document: Document) -> None:
    document.blocks.new("B0").add_circle((0, 0), 5)
    rows = {"row_count": 30_000, "column_count": 30_000, "row_spacing": 1, "column_spacing": 1}
    document.modelspace().add_blockref("B0", (0, 0), dxfattribs=rows)


def triangle(document: Document) -> None:
    document.modelspace().add_lwpolyline([(0, 0), (400, 0), (400, 300)], close=True)


SOUND_DXF = dxf(triangle)
ENTITIES = b'<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
OUTSIDE = b'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
PARAMETER = b'<!DOCTYPE svg [<!ENTITY % a SYSTEM "http://tarn.invalid/a.dtd"> %a;]>'

HOSTILE = {
    "entity bomb": ("a.svg", ENTITIES + svg(b"<title>&b;</title>"), "defines entities"),
    "outside entity": ("a.svg", OUTSIDE + svg(b"<title>&a;</title>"), "defines entities"),
    "parameter entity": ("a.svg", PARAMETER + svg(b""), "defines entities"),
    "use of another file": ("a.svg", svg(b'<use href="http://tarn.invalid/a.svg#b"/>'), "not fetched"),
    "use bomb": ("a.svg", use_bomb(), "more than 2000 copies"),
    "use of itself": ("a.svg", svg(b'<g id="a"><use href="#a"/></g>'), "more than 100 deep"),
    "deep groups": ("a.svg", svg(b"<g>" * 200 + b"</g>" * 200), "more than 100 deep"),
    "endless groups": ("a.svg", HEAD + b"<g>" * 1_000_000, "more than 100 deep"),
    "many elements": ("a.svg", svg(b"<g/>" * 200_000), "more than 100000 elements"),
    "many points": ("a.svg", svg(b'<path d="M0 0' + b"h1v1" * 150_000 + b'z"/>'), "more than 200000 points"),
    "far away": ("a.svg", svg(b'<path d="M0 0H1e9V5z"/>'), "more than 100 m"),
    "no finite number": ("a.svg", svg(b'<path d="M0 0H1e999V5z"/>'), "no finite number"),
    "huge arc": ("a.svg", svg(b'<path d="M0 0A1e300 1e300 0 0 1 1e308 2z"/>'), "more than 100 m|finite"),
    "huge circle": ("a.svg", svg(b'<circle r="1e200"/>'), "more than 200000 points|100 m|finite"),
    "huge scale": ("a.svg", svg(b'<g transform="scale(1e300)"><circle r="9"/></g>'), "points|100 m|finite"),
    "long number": ("a.svg", svg(b'<polygon points="%sx"/>' % (b"1" * 2_000_000)), "no list of numbers"),
    "long blank": ("a.svg", svg(b'<polygon points="1%sx"/>' % (b" " * 2_000_000)), "no list of numbers"),
    "long length": ("a.svg", svg(b'<rect width="%sx"/>' % (b"1" * 2_000_000)), "give a number"),
    "long transform": ("a.svg", svg(b'<g transform="%sx"/>' % (b" " * 2_000_000)), "not known"),
    "broken XML": ("a.svg", HEAD + b"\n\n<g></svg>", "broken in line 3"),
    "XML cut short": ("a.svg", HEAD + b"\n<g>", "broken in line 2"),
    "no SVG": ("a.svg", b"<html><body/></html>", "no SVG"),
    "unknown encoding": ("a.svg", b'<?xml version="1.0" encoding="tarn-8"?><svg/>', "UTF-8"),
    "wrong encoding": (
        "a.svg",
        b'<?xml version="1.0" encoding="utf-8"?><svg id="\xe4"/>',
        "broken in line 1",
    ),
    "rubbish as SVG": ("a.svg", bytes(range(256)) * 400, "broken in line 1"),
    "rubbish as DXF": ("a.dxf", bytes(range(256)) * 400, "text DXF"),
    "rubbish as CSV": ("a.csv", bytes(range(256)) * 400, "not UTF-8 text"),
    "a picture": ("a.jpg", b"\xff\xd8\xff\xe0" + bytes(900), "neither SVG, DXF nor CSV"),
    "packed": ("a.svgz", b"\x1f\x8b\x08" + bytes(900), "neither SVG, DXF nor CSV"),
    "empty": ("a.svg", b" \n ", "is empty"),
    "too large": ("a.svg", HEAD + b" " * 20_000_000, "more than 20"),
    "binary DXF": ("a.dxf", b"AnyCAD Binary DXF\r\n\x1a\x00" + bytes(900), "binary form"),
    "DXF cut short": ("a.dxf", SOUND_DXF[: len(SOUND_DXF) * 2 // 3], "breaks off in line"),
    "DXF with its middle gone": ("a.dxf", SOUND_DXF[:300] + SOUND_DXF[-30:], "a.dxf"),
    "block bomb": ("a.dxf", dxf(block_bomb), "copies of blocks"),
    "block in itself": ("a.dxf", dxf(block_in_itself), "damaged"),
    "block rows": ("a.dxf", dxf(block_rows), "copies of blocks"),
    "no number in a DXF": (
        "a.dxf",
        dxf(lambda made: made.modelspace().add_circle((float("nan"), 0), 5)),
        "no finite number",
    ),
    "huge bulge": (
        "a.dxf",
        dxf(lambda made: made.modelspace().add_lwpolyline([(0, 0, 0, 0, 1e300), (9, 0)], close=True)),
        "make no line|finite|100 m",
    ),
    "many rows": ("a.csv", b"1,1\n" * 200_002, "more than 200000 rows"),
    "long cell": ("a.csv", b"x,y\n" + b"1" * 100_000 + b"x,1\n", "is no number"),
    "long header": ("a.csv", b"x" + b" " * 100_000 + b",y\n1,1\n", "a.csv"),
    "zeros in a table": ("a.csv", b"x,y\n1,\x002\n", "line 2 is not text"),
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_file_is_refused_within_a_second_in_one_sentence(kind: str) -> None:
    name, data, cause = HOSTILE[kind]
    # Loading the library that reads DXF is no part of the second.
    begun = time.process_time()
    with pytest.raises(OutlineError, match=cause) as refusal:
        read_outlines(data, name)
    assert time.process_time() - begun < 1.0
    said = str(refusal.value)
    assert len(said) < 300 and said.endswith(".") and "\n" not in said


def test_a_document_type_without_entities_is_no_threat() -> None:
    public = b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://tarn.invalid/svg11.dtd">'
    assert len(read_outlines(public + svg(b'<rect width="50" height="50"/>'), "a.svg").shapes) == 1


def test_the_library_of_dxf_says_nothing_on_the_screen(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(OutlineError):
        read_outlines(SOUND_DXF[:300] + SOUND_DXF[-30:], "a.dxf")
    read_outlines(SOUND_DXF.replace(b"$EXTMAX", b"$EXTMOX"), "a.dxf")
    assert capfd.readouterr() == ("", "")


@given(st.binary(max_size=300), st.sampled_from(["a.svg", "a.dxf", "a.csv", "a"]))
def test_whatever_the_bytes_are_nothing_but_a_refusal_comes(data: bytes, name: str) -> None:
    try:
        drawing = read_outlines(data, name)
    except OutlineError:
        return
    assert drawing.shapes or drawing.stations


@given(st.integers(0, len(SOUND_DXF) - 1), st.binary(min_size=1, max_size=8))
def test_a_dxf_with_a_few_bytes_wrong_comes_in_or_is_refused(place: int, wrong: bytes) -> None:
    damaged = SOUND_DXF[:place] + wrong + SOUND_DXF[place + len(wrong) :]
    try:
        drawing = read_outlines(damaged, "a.dxf")
    except OutlineError:
        return
    assert drawing.shapes
