"""Charts of ground gone before."""
