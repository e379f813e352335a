"""The illustrated guide: the pages of docs/ as linked web pages with a search, and as text in a terminal."""
