"""What is left after a machine died, a disk filled up or a sync failed, at every step at which that can happen."""
