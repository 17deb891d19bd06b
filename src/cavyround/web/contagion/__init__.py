"""Pages: quarantine, outbreaks, what was shared and cleaned, stays that are mended."""
