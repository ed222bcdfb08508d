"""Python and the page's engine, side by side."""
