"""``python -m lift``."""

from lift.cli import main

if __name__ == "__main__":
    main()
