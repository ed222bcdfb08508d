"""Keeping what was written: the notes of a show, and the records of its classes, entries, seats, devices.

The seams are in `protocol`; everything above the store is written against them alone.
"""
