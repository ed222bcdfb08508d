"""The web: carries what the show decides, and the page."""
