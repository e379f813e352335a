"""Edges of measured points for cloth that shrinks: every direction of the drawing, and one that turns through them."""

LEVEL = '[["0 mm","0 mm"], ["300 mm","0 mm"]]'
SLANTED = '[["0 mm","0 mm"], ["210 mm","210 mm"]]'
UPRIGHT = '[["0 mm","0 mm"], ["0 mm","300 mm"]]'
# Straight down, round a corner, and nearly level.
BENT = (
    '[["0 mm","0 mm"], ["0 mm","150 mm"], ["0 mm","300 mm"], ["-25 mm","400 mm"], ["-110 mm","470 mm"], '
    '["-210 mm","490 mm"]]'
)
