"""A wanted part: how long, how wide, and how far its grain may run off the slab's."""

from __future__ import annotations

from collections.abc import Callable
from math import degrees

from workshop.quantity import ANGLE, LENGTH, QuantityError, Units, parse, show, typed_with_unit
from workshop.trade.fitting import Part, rectangle
from workshop.tui.fields_screen import Field, FieldsScreen, Typed
from workshop.tui.lines import Line, line, wrapped

ANY = "any"


class WantedScreen(FieldsScreen):
    """Asks for the measures of a part that shall come out of the slabs."""

    def __init__(self, units: Units, first: Typed, bounced: Callable[[str], bool]) -> None:
        """`first` is what stands in the fields."""
        fields = (
            Field("length", "Length", first[0]),
            Field("width", "Width", first[1]),
            Field("grain", "Grain may be off by", first[2]),
        )
        about = "The length runs along the grain; “any” where the grain does not matter."
        super().__init__("What part do you want?", about, fields, bounced)
        self._units = units

    def part(self, typed: Typed) -> Part:
        """The part of the fields; raises QuantityError or ValueError."""
        length, width = (
            self._length(text, name) for text, name in zip(typed, ("length", "width"), strict=False)
        )
        return rectangle("wanted", length, width, grain_slack=self._slack(typed[2]))

    def _length(self, text: str, name: str) -> float:
        if not text:
            raise QuantityError(f"How {'long' if name == 'length' else 'wide'} shall it be?")
        return parse(typed_with_unit(text, 0.03, LENGTH, self._units), LENGTH)

    def _slack(self, text: str) -> float | None:
        if text.lower() == ANY:
            return None
        slack = parse(typed_with_unit(text or "0", None, ANGLE, self._units), ANGLE)
        if slack < 0:
            raise QuantityError("The grain may be off by zero degrees or more, or “any”.")
        return slack

    def follows(self, typed: Typed, width: int) -> list[Line]:
        """How the fields are read."""
        try:
            part = self.part(typed)
        except ValueError as error:
            return wrapped(str(error), width, "dim")
        sides = [show(max(axis) - min(axis), LENGTH, self._units) for axis in zip(*part.ring, strict=True)]
        slack = part.grain_slack
        grain = (
            "any grain"
            if slack is None
            else "grain along"
            if not slack
            else f"grain up to {degrees(slack):g}° off"
        )
        return [line((f"{sides[0]} by {sides[1]}", "strong"), (f", {grain}", "dim"))]

    def kept(self, typed: Typed) -> str:
        """What is typed must be a part."""
        try:
            self.part(typed)
        except ValueError as error:
            return str(error)
        return ""
