"""Every size of a pattern, and the pattern fitted to one wearer: one plan becomes a family of plain plans."""
