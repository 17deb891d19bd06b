"""Pages: library."""
