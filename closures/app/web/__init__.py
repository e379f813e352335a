"""The page of `closures serve`: the whole job by eye and hand, in a browser on the same machine.

It stands on the one path that the command takes; the state of the page is the plan itself."""
