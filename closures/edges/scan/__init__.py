"""Edges followed on a scan or a photo."""
