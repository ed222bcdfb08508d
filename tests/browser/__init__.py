"""What a person does with the page, in a real Chromium."""
