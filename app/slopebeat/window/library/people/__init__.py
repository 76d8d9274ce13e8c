"""Athletes: the entries of one, and everybody with what is kept of them."""
