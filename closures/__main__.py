"""Run the command as ``python -m closures``; the installed command comes in here too.

Nothing is imported before it can be said in one sentence that somebody stopped it.
"""


def main() -> None:
    """Run the command and end the process."""
    try:
        from closures.app.command import main as run

        run()
    except KeyboardInterrupt:
        from closures.app.leaving import stopped

        stopped()


if __name__ == "__main__":
    main()
