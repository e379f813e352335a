"""Run the command as ``python -m closures``; the installed command comes in here too.

Nothing but a part of Python itself is imported before it can be said in one sentence that somebody stopped it.
"""

import gc

# What is made while placing is values that refer to each other one way, and freed as they are let go. Looking for
# rings among them after every 700 new ones costs a tenth of the work, and finds a few of the libraries' own. One
# job makes fewer than this.
_NEW_BEFORE_LOOKING = 300_000


def main() -> None:
    """Run the command and end the process."""
    try:
        gc.set_threshold(_NEW_BEFORE_LOOKING, 20, 20)
        from closures.app.command import main as run

        run()
    except KeyboardInterrupt:
        from closures.app.leaving import stopped

        stopped()
    finally:
        # Nor are rings looked for once more among all that is given back at the end: that took a sixth of a check.
        gc.freeze()


if __name__ == "__main__":
    main()
