"""What lies between a placement and a set closure: backing, bands, strips, tables, and whether the print is true."""
