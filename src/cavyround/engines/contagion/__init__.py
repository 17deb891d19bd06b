"""Contagion: contacts in time, exposure, quarantine clocks, outbreaks."""
