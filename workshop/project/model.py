"""The whole project file as a frozen value: every table it may hold."""

from __future__ import annotations

from pydantic import Field, StrictBool

from workshop.project.castings import Bed, Cable, Casting, Cut, Face, Form, Guide, Lift, LightRun, Void
from workshop.project.fields import RESERVED, Id, Named, Row, Whole
from workshop.project.finishing import AbrasiveSchedule, Coat, Finish, Fixing, Flattening, Frame, SealCoat
from workshop.project.hours import Hours
from workshop.project.journal import ChangeLine, LoggedLine, NoteLine, PhotoLine, StruckLine
from workshop.project.materials import LightStrip, Resin, ResinPack, TestPour
from workshop.project.notation import (
    Coverage,
    HolePlace,
    PlainPoint,
    Point,
    Region,
    Ring,
    Section,
    Spot,
)
from workshop.project.record import (
    Accepted,
    Batch,
    Done,
    EndedTimer,
    Journal,
    Placed,
    Poured,
    Reading,
    Record,
    RunningTimer,
    Worked,
    last_entry,
)
from workshop.project.shop import Carry, Destination, Head, Person, Pricing, Shop, Supply, Tool, WayIn
from workshop.project.timber import METRES, Piece, SawLine, Slab, Station
from workshop.quantity import Units

__all__ = [
    "METRES",
    "RESERVED",
    "AbrasiveSchedule",
    "Accepted",
    "Batch",
    "Bed",
    "Cable",
    "Carry",
    "Casting",
    "ChangeLine",
    "Coat",
    "Coverage",
    "Cut",
    "Destination",
    "Done",
    "EndedTimer",
    "Face",
    "Finish",
    "Fixing",
    "Flattening",
    "Form",
    "Frame",
    "Guide",
    "Head",
    "HolePlace",
    "Hours",
    "Journal",
    "Lift",
    "LightRun",
    "LightStrip",
    "LoggedLine",
    "Named",
    "NoteLine",
    "Person",
    "PhotoLine",
    "Piece",
    "Placed",
    "PlainPoint",
    "Point",
    "Poured",
    "Pricing",
    "ProjectFile",
    "Reading",
    "Record",
    "Region",
    "Resin",
    "ResinPack",
    "Ring",
    "Row",
    "RunningTimer",
    "SawLine",
    "SealCoat",
    "Section",
    "Shop",
    "Slab",
    "Spot",
    "Station",
    "StruckLine",
    "Supply",
    "TestPour",
    "Tool",
    "Void",
    "WayIn",
    "Worked",
    "last_entry",
]


class ProjectFile(Row):
    """A project file. An absent key is something not known yet; a table that is absent is an empty one."""

    format: Whole
    example: StrictBool = False
    """An example is never written; opening it makes a copy."""
    project: Head = Field(default_factory=Head)
    shop: Shop = Field(default_factory=Shop)
    destination: Destination = Field(default_factory=Destination)
    person: dict[Id, Person] = Field(default_factory=dict)
    tool: dict[Id, Tool] = Field(default_factory=dict)
    slab: dict[Id, Slab] = Field(default_factory=dict)
    piece: dict[Id, Piece] = Field(default_factory=dict)
    resin: dict[Id, Resin] = Field(default_factory=dict)
    light_strip: dict[Id, LightStrip] = Field(default_factory=dict)
    casting: dict[Id, Casting] = Field(default_factory=dict)
    seal_coat: SealCoat = Field(default_factory=SealCoat)
    flattening: Flattening = Field(default_factory=Flattening)
    abrasive_schedule: AbrasiveSchedule = Field(default_factory=AbrasiveSchedule)
    finish: Finish = Field(default_factory=Finish)
    frame: Frame = Field(default_factory=Frame)
    fixing: dict[Id, Fixing] = Field(default_factory=dict)
    carry: Carry = Field(default_factory=Carry)
    supply: dict[Id, Supply] = Field(default_factory=dict)
    price: Pricing = Field(default_factory=Pricing)
    record: Record = Field(default_factory=Record)

    @property
    def units(self) -> Units:
        """How this project shows its quantities."""
        head = self.project
        return Units(head.units or "metric", head.inch_fraction or 16, head.currency or "EUR")

    def pieces_of(self, casting: str) -> dict[str, Piece]:
        """The pieces that lie in a casting, by id."""
        return {name: piece for name, piece in self.piece.items() if piece.casting == casting}
