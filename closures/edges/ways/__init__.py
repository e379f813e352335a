"""The ways to tell the over lap's finished edge, a module for each; one that holds `WAYS` is found by itself."""
