"""What stands at the door: finished files are read back, and what they show is held against what was promised.

Nothing here knows how a result was made. It reads SVG, PDF and DXF as a stranger would, measures on what it finds, and
says what is wrong. What fails is not written.
"""
