"""The plan: what the user asks for. `plan` holds the table of its sections, a module each; `reading` reads a file."""
