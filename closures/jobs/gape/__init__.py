"""Will it gape, will it hold, does the body get in.

Start with `formulas` for what one gap comes to, `ranges` for how little of it is certain, and
`way_in` for the body. Nothing here was tried on cloth: the constants come from numerical runs, and
every answer is a range.

Terms: the *pull* is the force across the closing line on each metre of it; the *gape number* is
the pull over the pull that a gap bears calmly; the *lift* is how far the free edge stands off the
body; the *pull-apart* is how far one lap's line is drawn from the other between two closures; a
*ring* is a girth of the closed garment at one level.
"""
