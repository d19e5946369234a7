"""A lift is poured: how far it went and how warm the resin was."""

from __future__ import annotations

from collections.abc import Callable

from workshop.project.project import Project
from workshop.quantity import LENGTH, TEMPERATURE, Kind, QuantityError, parse, show, typed_with_unit
from workshop.tui.fields_screen import Field, FieldsScreen, Typed
from workshop.tui.lines import Line, line, wrapped

_KINDS: tuple[tuple[str, Kind], ...] = (("Height reached", LENGTH), ("Resin temperature", TEMPERATURE))


class PouredScreen(FieldsScreen):
    """Asks for height and temperature; an empty field is not known."""

    def __init__(
        self,
        project: Project,
        title: str,
        about: str,
        first: Typed,
        starts: str,
        bounced: Callable[[str], bool],
        fault: str = "",
    ) -> None:
        """`first` is what stands in the fields, `starts` the timers that begin with it, in words."""
        fields = (Field("height", _KINDS[0][0], first[0]), Field("temperature", _KINDS[1][0], first[1]))
        super().__init__(title, about, fields, bounced, fault)
        self._project, self._starts = project, starts

    def as_typed(self, typed: Typed) -> Typed:
        """The fields with the unit shown where only digits were typed."""
        units = self._project.units
        return tuple(
            typed_with_unit(text, None if kind is TEMPERATURE else 0.03, kind, units) if text else ""
            for text, (_name, kind) in zip(typed, _KINDS, strict=True)
        )

    def follows(self, typed: Typed, width: int) -> list[Line]:
        """How the fields are read, and what starts."""
        lines: list[Line] = []
        for text, (name, kind) in zip(self.as_typed(typed), _KINDS, strict=True):
            if not text:
                lines.append(line((f"{name}: not known", "dim")))
                continue
            try:
                said = show(parse(text, kind), kind, self._project.units)
                lines.append(line((f"{name}: ", "dim"), (said, "strong")))
            except QuantityError as error:
                lines += wrapped(str(error), width, "amber")
        return [*lines, *wrapped(self._starts, width, "teal")]

    def kept(self, typed: Typed) -> str:
        """What is typed must be read."""
        for text, (_name, kind) in zip(self.as_typed(typed), _KINDS, strict=True):
            try:
                parse(text or kind.example.split(" or ")[0], kind)
            except QuantityError as error:
                return str(error)
        return ""
