"""What is said about the work: steps, cautions, key of the sheets, made from one set of facts. Start with `facts`."""
