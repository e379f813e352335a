"""Run the command as ``python -m closures``."""

from closures.cli import main

if __name__ == "__main__":
    main()
