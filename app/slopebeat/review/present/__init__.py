"""What is shown of a review: every name, figure and sentence said once."""
