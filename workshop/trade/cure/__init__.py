"""The cure of a lift of resin: heat, conversion, states, and what a data sheet's cup and film say of it."""
