"""The screens: what a maker sees and presses. Nothing below this package knows Textual."""
