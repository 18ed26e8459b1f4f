"""`python -m app` in the checkout; a copy of this file in the wheel is the `oddcup` command."""

import gc
import sys
from pathlib import Path

HERE = Path(__file__).parent


def main() -> int:
    # In the wheel this is oddcup/__main__.py and app/ stands beside it, not at the top of
    # site-packages, where a name as common as `app` is not for one program to take.
    if (HERE / "app").is_dir():
        sys.path.insert(0, str(HERE))
    # What is imported stays: searching it for rubbish meanwhile takes a tenth of the start.
    gc.disable()
    from app.cli import main

    gc.freeze()
    gc.enable()
    return main()


if __name__ == "__main__":
    sys.exit(main())
