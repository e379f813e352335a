"""A row told to a knitter: in whole rows and stitches, with the buttonholes as they are knitted."""
