"""`workshop outline`: a slab's outline out of a drawing, its scale checked before anything is written."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import pytest

from tests.cli.conftest import SHELF, Run
from tests.examples import FOLDER
from workshop.layout.placed import extent
from workshop.layout.slab_shape import slab_shape
from workshop.project.loading import load_text

BOARD = '<svg xmlns="http://www.w3.org/2000/svg" {size}><path d="M 10 10 H 1510 V 260 H 10 Z"/></svg>'


@pytest.fixture
def board(tmp_path: Path) -> Path:
    """A board 1500 by 250 mm as an SVG in millimetres."""
    path = tmp_path / "board.svg"
    path.write_text(
        BOARD.format(size='width="1600mm" height="300mm" viewBox="0 0 1600 300"'), encoding="utf-8"
    )
    return path


@pytest.fixture
def pixels(tmp_path: Path) -> Path:
    """The same board with its millimetres as bare numbers, which an SVG reads as pixels."""
    path = tmp_path / "pixels.svg"
    path.write_text(BOARD.format(size='viewBox="0 0 1600 300"'), encoding="utf-8")
    return path


def size(shelf: Path) -> tuple[float, float]:
    """Length and width of the hickory on disk, m."""
    file = load_text(shelf.read_text(encoding="utf-8"), shelf.name).file
    left, bottom, right, top = extent(slab_shape("hickory", file.slab["hickory"]).pair.upper)
    assert left == 0 and bottom == pytest.approx(-top)
    return right, top - bottom


def test_an_outline_in_millimetres_is_brought_into_the_slab(run: Run, shelf: Path, board: Path) -> None:
    result = run("outline", shelf, "hickory", board, "--length", "1500 mm")
    assert result.exit_code == 0, result.stderr
    assert "board.svg holds 1 outline" in result.stdout and "The scale agrees" in result.stdout
    assert "Wrote hickory into" in result.stdout
    # The project counts inches, so the corners are written to a hundredth of one.
    assert size(shelf) == pytest.approx((1.5, 0.25), abs=2.6e-4)


def test_a_wrong_scale_is_not_written_unless_it_is_put_right(run: Run, shelf: Path, pixels: Path) -> None:
    result = run("outline", shelf, "hickory", pixels, "--length", "1500 mm")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "read as pixels (96 to the inch) but drawn in mm" in result.stderr
    assert len(result.stderr.splitlines()) == 1 and "--scale" in result.stderr
    assert shelf.read_text(encoding="utf-8") == SHELF
    result = run("outline", shelf, "hickory", pixels, "--length", "1500 mm", "--scale")
    assert result.exit_code == 0, result.stderr
    assert size(shelf) == pytest.approx((1.5, 0.25), abs=2.6e-4)


def test_a_drawing_of_unknown_unit_needs_a_length(run: Run, shelf: Path, pixels: Path) -> None:
    result = run("outline", shelf, "hickory", pixels)
    assert result.exit_code == 2 and "add --length" in result.stderr
    assert shelf.read_text(encoding="utf-8") == SHELF


def test_a_table_brings_stations(run: Run, shelf: Path, tmp_path: Path) -> None:
    table = tmp_path / "board.csv"
    table.write_text("at mm,left mm,right mm\n0,90,95\n750,92,91\n1500,94,90\n", encoding="utf-8")
    result = run("outline", shelf, "hickory", table)
    assert result.exit_code == 0, result.stderr
    assert "3 stations" in result.stdout
    slab = load_text(shelf.read_text(encoding="utf-8"), shelf.name).file.slab["hickory"]
    assert [round(slab.metres(row.at), 3) for row in slab.stations] == pytest.approx([0, 0.75, 1.5], abs=2e-4)


def test_a_dxf_brings_both_faces(run: Run, shelf: Path, tmp_path: Path) -> None:
    document = ezdxf.new(units=ezdxf.units.MM)  # type: ignore[attr-defined]
    space = document.modelspace()
    for layer, grown in (("upper", 0), ("lower", 8)):
        corners = [(0, -grown), (1500, -grown), (1500, 250 + grown), (0, 250 + grown)]
        space.add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})
    path = tmp_path / "board.dxf"
    document.saveas(path)
    result = run("outline", shelf, "hickory", path, "--face", "both", "--length", "1500 mm")
    assert result.exit_code == 0, result.stderr
    file = load_text(shelf.read_text(encoding="utf-8"), shelf.name).file
    shape = slab_shape("hickory", file.slab["hickory"])
    assert shape.both_faces
    assert extent(shape.pair.lower)[1] == pytest.approx(-0.133, abs=2.6e-4)


def test_what_cannot_be_is_said_in_a_sentence(run: Run, shelf: Path, board: Path, tmp_path: Path) -> None:
    for words, expected in (
        (("hickory", tmp_path / "none.svg"), "There is no file"),
        (("oak", board), "There is no slab oak"),
        (("hickory", board, "--shape", "4"), "There is no outline 4"),
        (("hickory", board, "--length", "long"), "--length"),
        (("hickory", board, "--scale"), "--scale needs --length"),
        (("hickory", shelf), "neither SVG, DXF nor CSV"),
    ):
        result = run("outline", shelf, *words)
        assert result.exit_code == 2 and expected in result.stderr
        assert len(result.stderr.splitlines()) == 1
    assert shelf.read_text(encoding="utf-8") == SHELF


def test_an_example_is_never_written(run: Run, board: Path) -> None:
    bench = FOLDER / "tarn-bench.toml"
    before = bench.read_bytes()
    result = run("outline", bench, "ash-wide", board)
    assert result.exit_code == 2 and "example" in result.stderr
    assert bench.read_bytes() == before


def test_an_older_copy_is_kept(run: Run, shelf: Path, board: Path) -> None:
    assert run("outline", shelf, "hickory", board).exit_code == 0
    listed = run("history", shelf)
    assert listed.stdout.count("gannet-shelf") == 1
