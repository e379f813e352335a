"""Other closures in place of those that are there: offers of rows, the old holes, the laps, the pull.

Every offer is a placement like any other, on the same closing line and held against the same rules."""
