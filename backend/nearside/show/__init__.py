"""What happens at a show: its seats and what they may, its classes, and the notes that go in and out.

The edge is checked here (pydantic models of files and notes); the engine below is pure, the store beside it knows no
rule of a show, and the web above it only carries.
"""
