"""Pages: people."""
