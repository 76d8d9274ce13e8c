"""What ``import slopebeat`` offers to programs in Python: recordings, reviews, a library and its months."""
