"""From a resin's data sheet to its constants with a band."""

from workshop.trade.resin_fit.bucket import bucket_peak, pot_life_of
from workshop.trade.resin_fit.draws import Draws
from workshop.trade.resin_fit.fitting import Fit, fit, prior
from workshop.trade.resin_fit.parameters import PARAMETERS
from workshop.trade.resin_fit.residuals import Residual
from workshop.trade.resin_fit.sheet import Pour, Sheet

__all__ = [
    "PARAMETERS",
    "Draws",
    "Fit",
    "Pour",
    "Residual",
    "Sheet",
    "bucket_peak",
    "fit",
    "pot_life_of",
    "prior",
]
