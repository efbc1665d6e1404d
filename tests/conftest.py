"""Settings of the whole suite."""

import os

from hypothesis import settings

# The same examples every time, so that a landing does not hang on luck. HYPOTHESIS_HUNT=1 looks for new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("hunt", max_examples=500, deadline=None)
settings.load_profile("hunt" if os.environ.get("HYPOTHESIS_HUNT") else "steady")
