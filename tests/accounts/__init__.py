"""Golden accounts: the full text for whole classes."""
