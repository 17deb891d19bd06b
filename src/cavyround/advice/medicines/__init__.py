"""Medicines from the record: courses that run, doses worked out, the shelf, what is proposed."""
