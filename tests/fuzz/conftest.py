"""The bounds on time and memory need timers and limits that Windows does not have: there this folder is left out."""

import sys

collect_ignore_glob = ["test_*.py"] if sys.platform == "win32" else []
