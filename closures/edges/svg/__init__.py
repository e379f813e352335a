"""Edges from an SVG drawing."""
