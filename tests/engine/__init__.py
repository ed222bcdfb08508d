"""Tests of the placing engine."""
