"""A whole garment: several openings as one set, with what lies between them and what to buy for all."""
