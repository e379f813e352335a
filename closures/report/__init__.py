"""A placement in words: as figures for programs, as a page for the table, as text for a terminal."""
