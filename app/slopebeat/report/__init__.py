"""One-page reports and pictures of a review: described once, written as HTML, SVG, PDF and PNG."""
