"""Pages: today."""
