"""``python -m leakdx``."""

import sys

from leakdx.cli import main

sys.exit(main())
