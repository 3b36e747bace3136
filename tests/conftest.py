"""How the project's own tests run.

Time is measured in benchmarks, so no example of a property test has a deadline; and nobody's own shop settings count.
"""

import os

from hypothesis import settings

os.environ["LEAKDX_CONFIG"] = ""
settings.register_profile("no_deadline", deadline=None)
settings.load_profile("no_deadline")
