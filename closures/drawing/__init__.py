"""Drawing: a placement as sheets for both laps, and the files they become.

Shapes are in mm and know no format; pages are arithmetic on rectangles; only the writers know SVG, PDF and PNG."""
