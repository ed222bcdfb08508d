"""One suite a seam: whatever implements the seam has to pass it."""
