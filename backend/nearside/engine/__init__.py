"""The placing engine: notes in, placing and reasons out.

Pure functions over plain values: integers, text, lists in an explicit order. It imports nothing outside the standard
library, reads no clock and no file, and draws no chance, so that its twin in the page can match it byte for byte.
"""
