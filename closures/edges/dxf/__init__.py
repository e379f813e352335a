"""Edges from a DXF drawing."""
