"""Pages: the dose round."""
