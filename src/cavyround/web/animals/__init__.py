"""Pages: animals."""
