"""The commands, a module for each job; `closures.app.command` lists them and loads the one that is asked for."""
