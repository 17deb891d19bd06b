"""Pages: checking."""
