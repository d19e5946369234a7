"""Pure computation of the trade, one subject a module: plain SI floats in, plain SI floats out."""
