"""Pages: account."""
