"""Words for pages."""
