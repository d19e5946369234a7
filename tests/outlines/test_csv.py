"""Outlines and stations come in from a table, whichever way its numbers are written."""

import pytest

from workshop.outlines import Drawing, OutlineError, read_outlines
from workshop.trade.outline import outline_area

CORNERS = {(0.0, 0.0), (1.0005, 0.0), (1.0005, 0.4), (0.0, 0.4)}


def read(text: str, **how: float) -> Drawing:
    return read_outlines(text.encode(), "tarn.csv", **how)


@pytest.mark.parametrize(
    "text",
    [
        "x (mm),y (mm)\n0,0\n1000.5,0\n1000.5,400\n0,400\n",
        "x_mm;y_mm\n0;0\n1000,5;0\n1000,5;400\n0;400\n",
        "x [cm]\ty [cm]\n0\t0\n100,05\t0\n100,05\t40\n0\t40\n",
        "Y m,X m\r\n0,0\r\n0,1.0005\r\n0.4,1.0005\r\n0.4,0\r\n0,0\r\n",
        '\ufeffx mm;y mm\n"0";"0"\n"1000.5";"0"\n"1000.5";"400"\n"0";"400"\n;\n',
        "# measured from the left end\nx (mm),y\n0,0\n1000.5,0\n1000.5,400\n0,400,\n",
    ],
)
def test_one_slab_written_in_many_ways_comes_in_as_one(text: str) -> None:
    drawing = read(text)
    (shape,) = drawing.shapes
    assert {(round(x, 9), round(y, 9)) for x, y in shape.ring} == CORNERS
    assert drawing.unit_known


def test_without_a_unit_the_numbers_are_mm_and_the_drawing_says_that_it_does_not_know() -> None:
    bare = read("0,0\n1000,0\n1000,400\n0,400\n")
    assert outline_area(bare.shapes[0].ring) == pytest.approx(0.4)
    assert not bare.unit_known
    stated = read("x,y\n0,0\n100,0\n100,40\n0,40\n", unit_metres=0.01)
    assert outline_area(stated.shapes[0].ring) == pytest.approx(0.4)
    assert stated.unit_known


def test_a_blank_row_parts_two_outlines_and_the_inner_one_is_a_hole() -> None:
    drawing = read(
        "x,y\n0,0\n1000,0\n1000,400\n0,400\n\n100,100\n200,100\n200,200\n\n2000,0\n2100,0\n2000,90"
    )
    assert [len(shape.holes) for shape in drawing.shapes] == [1, 0]


def test_a_layer_column_names_and_parts_the_outlines() -> None:
    drawing = read("layer,x,y\nseat,0,0\nseat,900,0\nseat,900,400\nleg,0,0\nleg,90,0\nleg,90,90\n")
    assert [shape.layer for shape in drawing.shapes] == ["seat", "leg"]


def test_stations_come_in_as_they_were_read() -> None:
    upper = read("at_cm;left_cm;right_cm\n0;10,5;12\n50;11;12\n")
    assert [value for row in upper.stations for value in row] == pytest.approx(
        [0, 0.105, 0.12, 0.5, 0.11, 0.12]
    )
    both = read(
        "At (m),Left (mm),Right (mm),Lower left (mm),lower_right (mm)\n0,100,90,110,95\n1,90,80,95,-5\n"
    )
    assert list(both.stations[0]) == pytest.approx([0, 0.1, 0.09, 0.11, 0.095])
    assert list(both.stations[1]) == pytest.approx([1, 0.09, 0.08, 0.095, -0.005])
    assert (upper.shapes, both.unit_known) == ((), True)


@pytest.mark.parametrize(
    ("text", "line", "cause"),
    [
        ("x,y\n0,0\n1,2,3\n", 3, "3 values where 2 are expected"),
        ("x,y\n0,0\n1,5,2,5\n", 3, "4 values where 2 are expected"),
        ("0,0,0\n1,5,2\n", 1, "3 values where 2 are expected"),
        ("x;y\n1,5;2\n1.5;2\n", 3, "decimal sign '.' where line 2 has ','"),
        ("x;y\n0;0\n1.234,5;2\n", 3, "is no number"),
        ("x,y\n0,0\n4,four\n", 3, "'four' is no number"),
        ("x,y\n0,0\n4,\n", 3, "value 2 is missing"),
        ("x,y\n0,0\n0,1e9\n", 3, "more than 100 m"),
        ("x,y\n0,0\n0,nan\n", 3, "is no number"),
        ("x,z\n0,0\n", 1, "column 'z' is not known"),
        ("x,left\n0,0\n", 1, "the columns are not"),
        ('x,y\n0,0\n0,"1\n', 3, "quotation marks"),
        ("at,left,right\n0,1,1\n5,1,1\n5,1,1\n", 4, "does not lie beyond"),
        ("at,left,right\n0,1,1\n5,1,-2\n", 3, "beyond the right one"),
    ],
)
def test_a_row_that_cannot_be_read_in_one_way_only_is_refused_with_its_line(
    text: str, line: int, cause: str
) -> None:
    with pytest.raises(OutlineError) as refusal:
        read(text)
    assert f"line {line}" in str(refusal.value)
    assert cause in str(refusal.value)


@pytest.mark.parametrize("text", ["x,y\n", "at,left,right\n0,5,5\n", "\n\n;\n"])
def test_a_table_without_enough_rows_is_refused(text: str) -> None:
    with pytest.raises(OutlineError):
        read(text)
