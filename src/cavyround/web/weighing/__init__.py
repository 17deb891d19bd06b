"""Pages: the weigh-in, and weights from a notebook or a file."""
