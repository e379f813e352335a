"""Edges from the vector pages of a PDF."""
