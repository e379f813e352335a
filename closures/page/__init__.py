"""The cutting-table page: the whole job by eye and hand, in a browser on the same machine.

It stands on the one path that the command takes; the state of the page is the plan itself.
"""

from closures.page.app import make_app
from closures.page.server import DEFAULT_PORT, Served, listen
from closures.page.table import files_beside

__all__ = ["DEFAULT_PORT", "Served", "files_beside", "listen", "make_app"]
