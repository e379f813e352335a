"""The ways into the house: the command, the job behind it, many plans at once, and the page."""
