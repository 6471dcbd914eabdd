"""`python -m middlerun`: the same as the command `middlerun`."""

import sys

from middlerun.app import main

if __name__ == "__main__":
    sys.exit(main())
