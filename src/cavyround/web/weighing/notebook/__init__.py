"""Weights as somebody wrote them down, read strictly: what is not said is asked, never assumed."""
