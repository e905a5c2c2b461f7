"""`python -m jamcalc` is the same as `jamcalc`."""

from __future__ import annotations

import sys

from jamcalc.cli import main

sys.exit(main())
