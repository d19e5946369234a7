"""The outline of a slab out of a file: what it holds, how large that is, and whether that can be right."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from textual import work
from textual.message import Message

from workshop.outlines import Drawing, OutlineError, ScaleCheck
from workshop.outlines.scale import extents
from workshop.pictures.picture import Picture, said, sizes
from workshop.pictures.slab_view import outline_view
from workshop.project.slab_outlines import FACES, Brought, Face, brought, read_drawing, turn_words
from workshop.quantity import LENGTH, QuantityError, Units, parse, typed_with_unit
from workshop.trade.face_pair import FacePair
from workshop.trade.outline import Station, station_outline
from workshop.tui.fields_screen import Field, FieldsScreen, Typed
from workshop.tui.lines import Line, line, wrapped
from workshop.tui.picture_pane import PicturePane

SHOWN = 4
"""Outlines of a file that are listed, and notes on it."""
LOW = 5
"""Lines of words beside which a low terminal still has room for the preview."""


class BringScreen(FieldsScreen):
    """Asks for a file; `held` is what it brings once the fields are kept."""

    @dataclass
    class Read(Message):
        """A file was read, or why it cannot be."""

        path: Path
        found: Drawing | str

    def __init__(
        self, slab: str, folder: Path, units: Units, bounced: Callable[[str], bool], first: Typed
    ) -> None:
        """A file without a folder of its own lies in `folder`; `first` is what stands in the fields."""
        fields = (
            Field("file", "File", first[0]),
            Field("face", "Face", first[1]),
            Field("shape", "Outline number", first[2]),
            Field("length", "Length measured", first[3]),
        )
        about = "SVG, DXF or CSV. A length measured on the slab checks the scale."
        super().__init__(f"The outline of {slab}", about, fields, bounced)
        self.VERTICAL_BREAKPOINTS = [(0, "-low"), (28, "-high")]
        self._folder, self._units = folder, units
        self._read: dict[Path, Drawing | str] = {}
        self._asked: Path | None = None
        self._to_scale: Typed | None = None
        self.held: Brought | None = None

    def on_mount(self) -> None:
        """A preview under the words."""
        self.query_one("#fields").mount(PicturePane(id="preview"), after="#follows")

    # Reading

    def path(self, typed: Typed) -> Path | None:
        """The file that is meant."""
        text = typed[0].strip("'\" ")
        if not text:
            return None
        given = Path(text).expanduser()
        inside = self._folder / given
        return inside if not given.is_absolute() and inside.is_file() else given

    def _drawing(self, typed: Typed) -> Drawing:
        """What the file holds; raises OutlineError while it cannot be read, or is not yet."""
        path = self.path(typed)
        if path is None:
            raise OutlineError("Type where the drawing lies.")
        if not path.is_file():
            raise OutlineError(f"There is no file {typed[0]}.")
        found = self._read.get(path)
        if found is None:
            if self._asked != path:
                self._asked = path
                self._read_in(path)
            raise OutlineError("reading …")
        if isinstance(found, str):
            raise OutlineError(found)
        return found

    @work(thread=True, exclusive=True, exit_on_error=False, group="outline")
    def _read_in(self, path: Path) -> None:
        try:
            found: Drawing | str = read_drawing(path)
        except OutlineError as error:
            found = str(error)
        except Exception as error:  # a reader of foreign files must never take the keys away
            found = f"{path.name} cannot be read: {error}."
        self.post_message(self.Read(path, found))

    def on_bring_screen_read(self, event: Read) -> None:
        """Show what the file holds."""
        event.stop()
        self._read[event.path] = event.found
        self.show_follows()

    # What follows

    def _brought(self, typed: Typed) -> Brought:
        """What the fields bring, not scaled yet; raises ValueError with a sentence."""
        drawing = self._drawing(typed)
        face = _face(typed[1])
        number = None
        if typed[2]:
            if not typed[2].isdecimal():
                raise ValueError("The outline's number is 1, 2 and so on, or empty for the largest.")
            number = int(typed[2])
        return brought(drawing, face, number)

    def _check(self, held: Brought, typed: Typed) -> ScaleCheck | None:
        if not typed[3]:
            return None
        return held.check(parse(typed_with_unit(typed[3], 0.03, LENGTH, self._units), LENGTH))

    def follows(self, typed: Typed, width: int) -> list[Line]:
        """Outlines found, size, what was mended, and the verdict on the scale."""
        pane = self.query_one("#preview", PicturePane) if self.query("#preview") else None
        if pane is not None:
            pane.set_class(False, "-shown")
        try:
            held = self._brought(typed)
        except ValueError as error:
            quiet = str(error) == "reading …" or not typed[0]
            return wrapped(str(error), width, "dim" if quiet else "amber")
        units = self._units
        made: list[Line] = [*self._found(held, typed, width)]
        try:
            check = self._check(held, typed)
            made += verdict(check, held.drawing.unit_known, units, width)
        except (QuantityError, OutlineError) as error:
            made += wrapped(str(error), width, "amber")
            check = None
        notes = [held_note for held_note in (turn_words(held), *held.drawing.notes) if held_note]
        for note in notes[:SHOWN]:
            made += wrapped(note, width, "dim")
        if pane is not None and (self.size.height >= 28 or len(made) <= LOW):
            pane.set_class(True, "-shown")
            pane.show(preview(held, units))
        return made

    def _found(self, held: Brought, typed: Typed, width: int) -> list[Line]:
        units = self._units
        long, wide = held.size
        unit = " mm" if units.system == "metric" else ""
        what = f"{sizes([round(long, 4), round(wide, 4)], units)}{unit}"
        if held.drawing.stations:
            faces = "both faces" if len(held.drawing.stations[0]) > 3 else "one face"
            found = f"{len(held.drawing.stations)} stations, {faces}: "
        else:
            holes = len(held.drawing.shapes[0].holes)
            found = f"{held.shapes} outline{'s' * (held.shapes != 1)} found"
            found += f", {holes} hole{'s' * (holes != 1)} in this one: " if holes else ": "
        made = [line((found, "dim"), (what, "strong"))]
        drawing = self._drawing(typed)
        if len(drawing.shapes) > 1:
            listed = []
            for number, shape in enumerate(drawing.shapes[:SHOWN], 1):
                one = extents(Drawing((shape,)))
                size = sizes([round(side, 4) for side in one], units)
                listed.append(f"{number} {shape.layer + ' ' if shape.layer else ''}{size}")
            more = ", …" if len(drawing.shapes) > SHOWN else ""
            made += wrapped(", ".join(listed) + more, width, "dim")
        return made

    def kept(self, typed: Typed) -> str:
        """The file must be read and its scale right; a wrong one is put right by pressing enter once more."""
        try:
            held = self._brought(typed)
            check = self._check(held, typed)
        except ValueError as error:
            return str(error)
        if check is None and not held.drawing.unit_known:
            return "The file does not say how long its unit is: give a length measured on the slab."
        if check is not None and not check.agrees:
            if self._to_scale != typed:
                self._to_scale = typed
                return f"Press enter once more to make it {said(check.stated, self._units)} long."
            held = held.scaled(check.stated)
        self.held = held
        return ""


def verdict(check: ScaleCheck | None, unit_known: bool, units: Units, width: int) -> list[Line]:
    """Whether the scale agrees with the length measured, and if not what is the likely cause."""
    if check is None:
        if unit_known:
            return wrapped("Give the length measured, and the scale is checked.", width, "dim")
        return wrapped(
            "■ The file does not say how long its unit is: give the length measured.", width, "amber"
        )
    measured, stated = said(check.measured, units), said(check.stated, units)
    if check.agrees:
        return wrapped(f"■ The scale agrees: {measured} drawn, {stated} measured.", width, "green")
    words = f"▲ The scale is wrong: {measured} drawn, {stated} measured; {check.likely}."
    return [*wrapped(words, width, "amber", 2, 0), *wrapped("Enter offers to scale it.", width, "dim", 2)]


def preview(held: Brought, units: Units) -> Picture:
    """What is brought, drawn."""
    pair, both = faces_of(held)
    return outline_view(pair, both, units, "AS IT WILL LIE ALONG THE TAPE")


def faces_of(held: Brought) -> tuple[FacePair, bool]:
    """The faces that are brought, and whether both are."""
    drawing = held.drawing
    if drawing.stations:
        rows = drawing.stations
        upper = station_outline([Station(*row[:3]) for row in rows])
        if len(rows[0]) < 5:
            return FacePair(upper, upper), False
        return FacePair(station_outline([Station(row[0], row[3], row[4]) for row in rows]), upper), True
    upper, lower = drawing.shapes[0].ring, drawing.shapes[-1].ring
    return FacePair(lower, upper, (), drawing.shapes[0].holes), len(drawing.shapes) > 1


def _face(text: str) -> Face:
    plain = text.strip().lower() or "upper"
    found = [face for face in FACES if face.startswith(plain)]
    if not found:
        raise ValueError(f"{text!r} is no face: write upper, lower or both.")
    return found[0]
