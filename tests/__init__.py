"""The tests of Nearside."""
