"""Run the command as ``python -m closures``."""

from closures.app.command import main

if __name__ == "__main__":
    main()
