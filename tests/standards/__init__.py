"""Tests of the shipped standards."""
