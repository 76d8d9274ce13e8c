"""What ground costs an athlete, and what to do next week: figures, words and the letter that says them."""
