"""Where wanted parts fit on slabs and offcuts: single places, joint placements and what is left."""

from workshop.trade.fitting.nesting import Nest, Unplaced, nested
from workshop.trade.fitting.offcuts import Offcut, remainder, yield_share
from workshop.trade.fitting.places import Shortfall, places, shortfall
from workshop.trade.fitting.stock import Part, Placement, Ring, Stock, placed_ring, rectangle

__all__ = [
    "Nest",
    "Offcut",
    "Part",
    "Placement",
    "Ring",
    "Shortfall",
    "Stock",
    "Unplaced",
    "nested",
    "placed_ring",
    "places",
    "rectangle",
    "remainder",
    "shortfall",
    "yield_share",
]
