"""What can be printed: drawings to scale and templates at full size, on paper measured in millimetres."""
