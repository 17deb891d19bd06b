"""cavyround: the hands-on check for a guinea pig rescue."""

__version__ = "0.1.0"
