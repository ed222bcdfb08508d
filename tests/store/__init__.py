"""The note store and the catalogue, on the disk and with their failures."""
