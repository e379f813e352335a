"""The catalogue: fasteners, cloths, papers and rules, each figure with its source.

>>> from closures.catalogue.loading import load_catalogue
>>> load_catalogue().fastener("prong snap", "16 L").cap_mm
10.16
"""
