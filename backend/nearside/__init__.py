"""Nearside: a ringside notebook for halter classes."""

from importlib.metadata import version

__version__ = version("nearside")
