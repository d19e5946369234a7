"""Four invented resins and a wide lift of any of them."""

from workshop.trade.cure.kinetics import Resin, Values
from workshop.trade.cure.run import Run, cure
from workshop.trade.cure.stack import RAISED, Bed, Floor, Lift, empty_form, pour
from workshop.trade.cure.surroundings import steady

COATING = Resin(1.74e-4, 0.26, 372e3, 55.1e3, 58.0)
LAMINATING = Resin(1.98e-4, 0.25, 401e3, 55.0e3, 68.0)
MEDIUM = Resin(4.13e-5, 0.39, 309e3, 54.1e3, 56.0)
SLOW = Resin(2.31e-5, 0.40, 261e3, 53.4e3, 52.0)
CLASSES = {"coating": COATING, "laminating": LAMINATING, "medium": MEDIUM, "slow": SLOW}


def lift(
    resin: Resin, depth: Values, shop: float = 21.0, *, floor: Floor = RAISED, beds: tuple[Bed, ...] = ()
) -> Run:
    """A lift of a depth (m) alone in a wide form, all at the shop's temperature (°C)."""
    return cure(pour(empty_form(floor, shop), Lift(depth, resin, shop, beds)), steady(shop))
