"""A slab's shape as it was measured: by stations, by outlines, or by length and width."""

from dataclasses import replace

import pytest

from tests.layout.boards import file_of
from workshop.layout.slab_shape import SlabShape, holes_inside, kerf_of, slab_shape
from workshop.trade.face_pair import side_of
from workshop.trade.outline import outline_area


def shape(text: str) -> SlabShape:
    return slab_shape("ash", file_of(f"[slab.ash]\n{text}").slab["ash"])


def test_stations_are_read_in_the_unit_of_the_slab() -> None:
    rows = "stations = [{ at = 0, left = 4, right = 4 }, { at = 40, left = 4, right = 4 }]"
    held = shape(f'unit = "in"\nthickness = "2 in"\n{rows}')
    assert outline_area(held.pair.upper) == pytest.approx(40 * 8 * 0.0254**2)
    assert held.thickness == pytest.approx(0.0508)
    assert not held.both_faces


def test_a_face_that_is_not_measured_is_like_the_other() -> None:
    held = shape(
        'unit = "mm"\nstations = [{ at = 0, left = 90, right = 80 }, { at = 900, left = 90, right = 80 }]'
    )
    assert held.pair.lower == held.pair.upper
    assert held.thickness is None


def test_a_lower_face_needs_both_edges_at_every_station() -> None:
    first = "{ at = 0, left = 90, right = 80, lower-left = 100, lower-right = 90 }"
    held = shape(f'unit = "mm"\nstations = [{first}, {{ at = 900, left = 90, right = 80, lower-left = 99 }}]')
    assert not held.both_faces


def test_outlines_of_unlike_corners_are_one_board() -> None:
    upper, lower = "0, 0; 1000, 0; 1000, 200; 0, 200", "0, -10; 1000, -10; 500, 230"
    held = shape(f'unit = "mm"\noutline = "{upper}"\nlower-outline = "{lower}"')
    assert len(held.pair.lower) == len(held.pair.upper)
    assert outline_area(held.pair.lower) == pytest.approx(0.5 * 1.0 * 0.24)


def test_length_and_width_lie_round_the_tape() -> None:
    held = shape('length = "1 m"\nwidth = "200 mm"')
    assert held.pair.upper == ((0.0, -0.1), (1.0, -0.1), (1.0, 0.1), (0.0, 0.1))


@pytest.mark.parametrize(
    "text",
    [
        'length = "1 m"',
        'unit = "mm"\nstations = [{ at = 0, left = 90, right = 80 }]',
        'species = "ash, white"',
    ],
)
def test_a_slab_that_is_not_measured_says_so(text: str) -> None:
    with pytest.raises(ValueError, match="ash is not measured"):
        shape(text)


def test_saw_lines_that_are_not_placed_yet_are_left_out() -> None:
    lines = '{ id = "s1", square-at = 20 }, { id = "s2" }, { id = "s3", edge = "left" }'
    held = shape(f'unit = "mm"\nlength = "1 m"\nwidth = "200 mm"\nsaw-lines = [{lines}]')
    assert [saw.id for saw in held.saws] == ["s1"]


def test_the_kerf_is_that_of_the_first_tool_that_has_one() -> None:
    assert kerf_of(file_of("")) == 0
    tools = '[tool.router]\nspeed = "14000 rpm"\n[tool.saw]\nkerf = "1.8 mm"\n[tool.band]\nkerf = "1 mm"\n'
    assert kerf_of(file_of(tools)) == pytest.approx(0.0018)


def test_a_hole_in_the_waste_is_not_the_pieces() -> None:
    holes = 'holes = ["0, 0; 50, 0; 50, 50; 0, 50", "500, 0; 550, 0; 550, 50"]'
    pair = shape(f'unit = "mm"\nlength = "1 m"\nwidth = "200 mm"\n{holes}').pair
    assert len(holes_inside(pair)) == 2
    sawn = replace(pair, sides=(side_of(((0.2, 0.0), (0.2, 1.0)), (0.5, 0.0)),))
    (hole,) = holes_inside(sawn)
    assert min(x for x, _ in hole) == pytest.approx(0.5)
