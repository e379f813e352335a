"""Points that stand for a curve, read as a person reads them: smooth where they are, cornered where they turn."""
