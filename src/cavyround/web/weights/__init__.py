"""Pages: what the weights say, of one animal, of a pen and of the herd."""
