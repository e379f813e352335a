"""Straps whose two ends close: belts, waistbands, cuffs, collars, bibs and wings.

A strap arrives at marks on one closing line, its own middle line when closed, and goes on from
there as every other row of closures does."""
