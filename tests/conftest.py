"""No test may depend on how fast the machine is or what else it is doing: drawn examples have no deadline and may be slow to draw."""

from hypothesis import HealthCheck, settings

settings.register_profile("any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any machine")
