"""The week of every athlete, and the weeks of one."""
