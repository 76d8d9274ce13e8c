"""The bands of an athlete over time, and the ways to find one."""
