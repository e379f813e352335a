"""The finished edges and the closing line, however the plan tells them, in one frame.

Millimetres, x to the right, y down, seen from outside with the garment closed."""
