"""Generator of the invented sample outings: terrain, movement, heart, sensors, files.

Independent of the program on purpose: nothing here imports it, so its figures can be checked
against the truth written beside the samples.
"""
