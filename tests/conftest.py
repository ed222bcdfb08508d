"""What all tests share: Hypothesis without deadlines, for a slow machine is no failure."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile(
    "nearside",
    deadline=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("nearside")
