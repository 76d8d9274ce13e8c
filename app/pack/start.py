"""Where the packed program begins: its worker processes first find out that they are such."""

from __future__ import annotations

import multiprocessing
import sys

if __name__ == "__main__":
    multiprocessing.freeze_support()

    from slopebeat.__main__ import main

    sys.exit(main())
