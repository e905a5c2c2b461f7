"""What no test may depend on: the speed of the machine, and the letters that whoever runs the tests asks for.

Drawn examples have no deadline and may be slow to draw.
"""

import os

from hypothesis import HealthCheck, settings

settings.register_profile("any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any machine")
os.environ.pop("LC_ALL", None)  # C would ask for ASCII
