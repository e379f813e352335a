"""The rules that a placement is held against: a rule is a function from a placement to findings."""
