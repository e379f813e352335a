"""Plans that several tests begin from."""

FRONT = """
title = "Front"
[garment]
opens = "front"
pieces = "pair"
[edge]
straight = "600 mm"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "15 mm"
last = { from = "20 mm", to = "120 mm" }
pitch = "75 mm"
"""
"""A straight front with snaps, of which nothing more is told than a row needs."""
