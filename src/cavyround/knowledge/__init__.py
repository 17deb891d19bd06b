"""What the trade knows, as cited data files and their strict loader."""
