"""The invented demo herd."""
