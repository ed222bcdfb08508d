"""Checks of the page's JavaScript."""
