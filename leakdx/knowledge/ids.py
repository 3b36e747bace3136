"""How an id is written."""

import re

ID = re.compile(r"[a-z][a-z0-9_]*")
