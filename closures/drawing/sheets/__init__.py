"""Sheets: a lap, the end of a strap, the nest of all sizes."""
