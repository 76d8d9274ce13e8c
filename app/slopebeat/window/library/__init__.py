"""The pages of the library: list, months, bands, comparison."""
