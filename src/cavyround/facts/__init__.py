"""Values the engines compute with."""
