"""Pages: the house, who lives with whom, the pen plan, expectant sows and litters, the round."""
