"""Run the command as ``python -m closures``; the installed command comes in here too.

Nothing is imported before it can be said in one sentence that somebody stopped it.
"""

# What is made while placing is values that refer to each other one way, and freed as they are let go. Looking for
# rings among them after every 700 new ones costs a tenth of the work, and finds a few of the libraries' own.
_NEW_BEFORE_LOOKING = 50_000


def main() -> None:
    """Run the command and end the process."""
    try:
        import gc

        gc.set_threshold(_NEW_BEFORE_LOOKING, 20, 20)
        from closures.app.command import main as run

        run()
    except KeyboardInterrupt:
        from closures.app.leaving import stopped

        stopped()


if __name__ == "__main__":
    main()
