"""Measurements, each a ratio or a figure taken in one run, printed with the bar it must meet."""
