"""Jobs around the main one: swaps, every size of a pattern, the work at the table."""
