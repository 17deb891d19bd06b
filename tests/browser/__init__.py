"""Drives a real Chromium against a real server."""
