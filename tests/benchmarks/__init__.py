"""The benchmarks' own arithmetic."""
