"""Medicines and care: orders, courses, what an animal does not bear, and the shelf."""
