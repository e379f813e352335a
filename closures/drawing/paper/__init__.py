"""Sheets cut into pages that can be printed at home and taped."""
