"""The record: models and the only code that writes them."""
